//! A file of every kind of table that can be declared.

use super::key::Absent::{Default, Missing, Open};
use super::{Form, REMARK, from_to, keys, mm};
use crate::diagnostic::Diagnostic;
use crate::units::Length;

keys! {
    SCHEMA: String = "schema", "version of the file", REMARK, Missing("\"test/1\"");
    LOOSE: u32 = "fit.loose", "loose steps", from_to(0, 10), Default("3");
    CAVITY: Option<Length> = "piece.cavity", "measured cavity", mm(0.0, 50.0), Open("not measured");
    NOMINAL: Length = "piece.nominal", "drawn size", mm(0.0, 50.0), Missing("20");
    SHARE: f64 = "size.*", "what a named size measures", from_to(0.0, 100.0), Open("not measured");
    TERM_VALUE: f64 = "terms.growth.value", "value of the term", from_to(-1.0, 1.0), Missing("0.03");
}

const FORM: Form = Form {
    likely: &[],
    what: "test file",
    holds: "the test",
    longest: 1000,
    keys: ALL,
    repeated: &["piece"],
    named: &["size"],
};

struct Test {
    loose: u32,
    pieces: Vec<(f64, Option<f64>)>,
    sizes: Vec<(String, f64)>,
    term: Option<f64>,
}

fn read(text: &str) -> Result<Test, Vec<Diagnostic>> {
    super::read(&FORM, text, |file| {
        let tree = file.tree;
        file.take(&SCHEMA)?;
        let pieces = tree.rows("piece").iter().filter_map(|row| {
            let nominal = file.take_in(row, &NOMINAL)?.as_mm();
            let cavity = file.take_in(row, &CAVITY).and_then(|said| said.value);
            Some((nominal, cavity.map(|cavity: Length| cavity.as_mm())))
        });
        let pieces = pieces.collect();
        let sizes = tree.rows("size").iter().filter_map(|row| {
            let name = row.name.as_ref()?;
            Some((name.value.clone(), *file.take_in(row, &SHARE)?))
        });
        let sizes = sizes.collect();
        let term = tree
            .table("terms.growth")
            .and_then(|_| file.take(&TERM_VALUE));
        Some(Test {
            loose: *file.take(&LOOSE)?,
            pieces,
            sizes,
            term: term.map(|term| *term),
        })
    })
    .map(|(test, _)| test)
}

/// Message and mend of the only problem, and the text that it marks.
fn only_problem(text: &str) -> (String, String) {
    let problems = read(text).err().expect("a problem");
    let [problem] = problems.as_slice() else {
        panic!("{problems:?}")
    };
    let at = problem.at.clone().expect("a place");
    let said = format!("{} / {}", problem.message, problem.mend.as_ref().unwrap());
    (said, text[at].to_owned())
}

#[test]
fn rows_names_and_open_values_are_read_in_file_order() {
    let text = "schema = \"test/1\"\nterms.growth.value = 0.03\n\
                [[piece]]\nnominal = 20\ncavity = \"\"\n[[piece]]\nnominal = 6\ncavity = 6.2\n\
                [[piece]]\nnominal = 5\n[size]\nouter_20 = 20.1\nhole_6 = 5.8\n";
    let test = read(text).expect("valid");
    assert_eq!(test.loose, 3);
    assert_eq!(test.pieces, [(20.0, None), (6.0, Some(6.2)), (5.0, None)]);
    let names: Vec<&str> = test.sizes.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["outer_20", "hole_6"]);
    assert_eq!(test.term, Some(0.03));
}

#[test]
fn a_bad_value_of_a_row_is_marked_and_named_as_it_is_typed() {
    let head = "schema = \"test/1\"\n";
    let (said, marked) = only_problem(&format!("{head}[size]\nouter_20 = 201\n"));
    assert_eq!(marked, "201");
    assert_eq!(
        said,
        "`size.outer_20` is 201, not from 0 to 100 / write a number from 0 to 100"
    );
    let (said, _) = only_problem(&format!("{head}[[piece]]\ncavity = 2\n"));
    assert_eq!(
        said,
        "`nominal` is missing: drawn size / add a line such as `nominal = 20`"
    );
    let (said, marked) = only_problem(&format!("{head}[terms]\ngrowth = 0.1\n"));
    assert_eq!(marked, "0.1");
    assert!(
        said.starts_with("`terms.growth` wants a table, not a number"),
        "{said}"
    );
    let (said, _) = only_problem(&format!("{head}piece = 3\n"));
    assert!(said.contains("`[[piece]]`"), "{said}");
}

#[test]
fn a_text_of_the_longest_length_is_read_and_one_byte_more_is_refused() {
    let fill = |long: usize| {
        let head = "schema = \"test/1\"\n#";
        format!("{head}{}", "x".repeat(long - head.len()))
    };
    assert!(read(&fill(FORM.longest)).is_ok());
    let (said, _) = only_problem(&fill(FORM.longest + 1));
    assert!(said.contains("a test file has 1000 at most"), "{said}");
}
