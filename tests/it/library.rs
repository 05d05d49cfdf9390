//! netlead as a library: the programs of the examples, run, and what they tell held against what must come
//! of the kits that they build in code.

#[path = "../../examples/kit_in_code.rs"]
#[expect(dead_code, reason = "its `main` only prints what is asked for here")]
mod kit_in_code;
#[path = "../../examples/mesh_elsewhere.rs"]
#[expect(dead_code, reason = "as above")]
mod mesh_elsewhere;
#[path = "../../examples/own_sweep.rs"]
#[expect(dead_code, reason = "as above")]
mod own_sweep;

use netlead::kit::Draft;
use netlead::making::{self, InMemory, Refusal};
use netlead::printer::Profile;
use netlead::units::Length;

#[test]
fn a_kit_built_in_code_tells_its_travel_parts_and_steps() {
    let told = kit_in_code::told().unwrap();
    // 2.5 less 1.75.
    assert!(told.contains("a turn moves it 0.750 mm"), "{told}");
    assert!(told.contains("it can be printed: true"), "{told}");
    for part in ["frame", "drive", "inner", "carriage", "keeper"] {
        assert!(told.contains(&format!("1 x {part}: ")), "{told}");
    }
    assert!(told.contains("step 1: "), "{told}");
}

#[test]
fn a_sweep_of_ones_own_has_the_difference_of_the_pitches_in_every_row() {
    let told = own_sweep::told().unwrap();
    let rows: Vec<Vec<&str>> = told
        .lines()
        .skip(1)
        .map(|row| row.split_whitespace().collect())
        .collect();
    assert_eq!(rows.len(), 5, "{told}");
    for row in &rows {
        let inner: netlead::thread::Thread = row[0].parse().unwrap();
        let lead: f64 = row[1].parse().unwrap();
        assert!((lead - (3.0 - inner.lead().as_mm())).abs() < 1e-9, "{told}");
        assert!(row[2].parse::<f64>().unwrap() > 1.0, "{told}");
    }
    // Some of them can be built, and not all.
    let good = rows
        .iter()
        .filter(|row| row[3..].concat().contains("passes"))
        .count();
    assert!((1..rows.len()).contains(&good), "{told}");
}

#[test]
fn another_crate_finds_the_same_volume_in_a_mesh() {
    let told = mesh_elsewhere::told().unwrap();
    assert!(told.lines().count() > 5);
    for row in told.lines().skip(1) {
        let row: Vec<&str> = row.split_whitespace().collect();
        let [ours, theirs, middle] = [1, 2, 3].map(|column| row[column].parse::<f64>().unwrap());
        assert!((ours - theirs).abs() <= 0.1 + 1e-6 * ours, "{told}");
        assert!(middle > 0.0, "{told}");
    }
}

#[test]
fn a_program_that_says_nonsense_is_told_so_without_colours() {
    let draft = draft_of(Length::mm(-4.0));
    let refusal = making::read("the draft", &draft.to_string(), &InMemory::none()).unwrap_err();
    assert!(matches!(refusal, Refusal::Rejected(_)));
    let told = refusal.to_string();
    assert!(
        told.contains("`stroke`") && !told.contains('\u{1b}'),
        "{told}"
    );
    let named = draft
        .with("stroke", Length::mm(4.0))
        .unwrap()
        .with("printer", "garage")
        .unwrap();
    let refusal = making::read("the draft", &named.to_string(), &InMemory::none()).unwrap_err();
    assert!(
        refusal
            .to_string()
            .contains("there is no profile of the printer `garage`")
    );
    let (kit, _) = netlead::kit::read(&draft_of(Length::mm(4.0)).to_string(), &[]).unwrap();
    let profile = Profile::untuned_for(&kit).to_toml("a test").unwrap();
    let shelf = InMemory::none().with("garage", profile);
    assert!(making::read("the draft", &named.to_string(), &shelf).is_ok());
}

fn draft_of(stroke: Length) -> Draft {
    let [drive, inner] = ["M20x2.5", "M12x1.75"].map(|thread| thread.parse().unwrap());
    Draft::nested("stage", &drive, &inner, stroke)
}
