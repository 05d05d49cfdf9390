//! Bad forms: each problem named by its line, with what to do.

use super::forms::{HEAD, plate};
use crate::support::case_files::assert_cases;
use crate::support::cases;
use netlead::diagnostic::{Style, render};
use netlead::tuning::form::read;

fn told(text: &str) -> String {
    let problems = read(text).expect_err("a bad form");
    render("form.toml", text, &problems, Style::default())
}

/// A form of one row with this line of readings.
fn one(measured: &str) -> String {
    format!("{HEAD}[[row]]\nname = \"outer-x-62\"\ndrawn = 62\nmeasured = {measured}\n")
}

#[test]
fn a_reading_in_inches_is_taken_for_one_and_a_near_one_is_not() {
    let told = told(&one("[2.443]"));
    assert!(told.contains("looks like a reading in inches"), "{told}");
    assert!(told.contains("form.toml, line 9, column "), "{told}");
    assert!(read(&one("[62.05]")).is_ok());
}

#[test]
fn an_inch_form_takes_inches_and_tells_of_millimetres() {
    let inch = |measured| one(measured).replace("units = \"mm\"", "units = \"inch\"");
    let (form, _) = read(&inch("[2.443]")).expect("62.05 mm");
    let reading = form.rows[0].measured[0].expect("a reading");
    approx::assert_abs_diff_eq!(reading.as_mm(), 62.0522, epsilon = 1e-9);
    assert!(told(&inch("[62.05]")).contains("looks like a reading in millimetres"));
}

#[test]
fn a_reading_beyond_belief_is_told_with_the_limit_and_one_within_it_passes() {
    // 62 mm may be off by 1.5 + 0.03 x 62 = 3.36 mm.
    let told = told(&one("[65.4]"));
    assert!(
        told.contains("beyond belief") && told.contains("within 3.36 mm"),
        "{told}"
    );
    assert!(read(&one("[65.3]")).is_ok());
}

#[test]
fn text_where_a_number_belongs_is_told_with_its_line() {
    let told = told(&one("[\"62,05\"]"));
    assert!(
        told.contains("`measured` needs a number, and this is text"),
        "{told}"
    );
    assert!(told.contains("form.toml, line 9, column 13"), "{told}");
}

#[test]
fn an_empty_form_is_refused() {
    assert!(told(&one("[]")).contains("the form is empty"));
    assert!(told(&one("[\"\"]")).contains("the form is empty"));
    assert!(told("").contains("`form` is missing"));
}

#[test]
fn missing_keys_unknown_rows_and_repeated_rows_are_all_told_at_once() {
    let text = format!(
        "{HEAD}[[row]]\nname = \"outer-x-5\"\ndrawn = 5\n\
         [[row]]\nname = \"outr-x-5\"\ndrawn = 5\nmeasured = [5]\n\
         [[row]]\nname = \"hole-6\"\ndrawn = 6\nmeasured = [5.8]\n\
         [[row]]\nname = \"hole-6\"\ndrawn = 6\nmeasured = [5.8]\n"
    );
    let told = told(&text);
    assert!(told.contains("`measured` is missing"), "{told}");
    assert!(told.contains("`outr-x-5` is not a row"), "{told}");
    assert!(told.contains("`hole-6` is there twice"), "{told}");
    assert_eq!(told.matches("Stop at ").count(), 3, "{told}");
}

#[test]
fn a_row_that_is_not_measured_is_a_warning_by_line() {
    let text = format!(
        "{}[[row]]\nname = \"hole-6\"\ndrawn = 6\nmeasured = []\n",
        one("[62.1]")
    );
    let (_, notes) = read(&text).expect("one row is measured");
    let told = render("form.toml", &text, &notes, Style::default());
    assert!(
        told.contains("row `hole-6` is not measured") && told.contains(", line 11, "),
        "{told}"
    );
}

#[test]
fn a_step_that_the_ladder_does_not_have_is_told_with_those_it_has() {
    let ladder = |best| {
        format!(
            "{HEAD}[[ladder]]\nname = \"drive/frame\"\nkind = \"thread\"\nwanted = 0.04\n\
             gaps = [0.15, 0.2, 0.25]\nradius = 10\nbest = [{best}]\n"
        )
    };
    let told = told(&ladder("4"));
    assert!(
        told.contains("no step of 4 grooves") && told.contains("write 1 to 3"),
        "{told}"
    );
    assert!(read(&ladder("2")).is_ok());
    let (_, notes) = read(&ladder("3")).expect("the last step");
    assert!(
        notes.iter().any(|note| note.message.contains("at its end")),
        "{notes:?}"
    );
}

#[test]
fn a_broken_line_is_told_once_and_other_forms_are_refused() {
    let told = told(&one("[62.05"));
    assert!(told.contains("this is not TOML: unclosed array"), "{told}");
    let other = HEAD.replace("netlead-form/1", "netlead-form/9");
    assert!(self::told(&other).contains("is not a form this program reads"));
    let day = HEAD.replace("2026-11-20", "20.11.2026");
    assert!(self::told(&day).contains("`20.11.2026` is not a date"));
}

#[test]
fn every_case_file_has_the_problems_that_it_names_and_no_others() {
    assert_cases("forms", |text| match read(text) {
        Ok((_, notes)) => notes,
        Err(problems) => problems,
    });
}

#[test]
fn a_form_that_nobody_could_fill_is_refused_in_a_moment() {
    let readings = vec!["62.05"; 49].join(",");
    let rows = |count: usize| {
        let row = |at: usize| {
            format!("[[row]]\nname = \"outer-x-{at}\"\ndrawn = 62\nmeasured = [{readings}]\n")
        };
        format!("{HEAD}{}", (1..=count).map(row).collect::<String>())
    };
    assert!(read(&rows(30)).is_ok());
    assert!(told(&rows(31)).contains("1519 readings, at most 1500"));
}

proptest::proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn prop_no_damage_to_a_form_makes_it_panic(at in 0usize..2000, length in 0usize..60,
                                               put in "[\\[\\]\"=a-z0-9.\n#{}-]{0,12}") {
        let text = plate(2, 0.01, 0.0, 4);
        let (start, end) = (at.min(text.len()), (at + length).min(text.len()));
        let damaged = format!("{}{put}{}", &text[..start], &text[end..]);
        if let Err(problems) = read(&damaged) {
            let told = render("form.toml", &damaged, &problems, Style::default());
            proptest::prop_assert!(told.contains("Stop at "));
        }
    }
}
