//! Mends of the rules of strength, each way followed once: what it mends no longer fails, and what
//! less torque or load mends is mended for all places at once.

use super::*;
use crate::kit::edit::with_value;

/// Keys to set.
type Typed = Vec<(String, String)>;

const SINGLE: &str = "name = \"t\"\nlayout = \"single\"\n";

/// Kits of which something fails or warns.
fn weak() -> Vec<String> {
    let press = format!("{SINGLE}drive = \"M16x2\"\nstroke = 25\nmaterial = \"PETG\"\n");
    vec![
        nested(GOOD),
        nested(&format!("{GOOD}load = \"250 N\"\n")),
        nested(&format!("{GOOD}grease = true\n")),
        nested(&format!("{GOOD}hand_torque = 45\n")),
        nested(&format!("{GOOD}perimeters = {{ inner = 4, drive = 4 }}\n")),
        nested(&format!("{GOOD}walls = 2\nperimeters = {{ inner = 2 }}\n")),
        nested(&format!("{GOOD}load = {{ force = 200, lasting = true }}\n")),
        nested(&format!(
            "{GOOD}load = {{ force = 40, torque = 0.1 }}\nhand_torque = 0.2\n"
        )),
        press.clone(),
        format!("{press}load = \"400 N\"\n"),
        format!("{press}load = {{ force = 100, torque = 0.1 }}\nhand_torque = 1.3\n"),
        format!("{press}perimeters = {{ drive = 4 }}\n"),
        format!("{press}hand_torque = 0.2\nload = \"80 N\"\n"),
        format!("{SINGLE}drive = \"M12\"\nstroke = 60\nhand_torque = 9\n"),
        format!("{SINGLE}drive = \"3/4-10 UNC\"\nstroke = 20\nmaterial = \"ABS\"\n"),
    ]
}

/// The rules whose mends are followed.
fn of_strength(id: &str) -> bool {
    let strong = matches!(rule(id).map(|rule| rule.judge), Some(Judge::Strength(_)));
    strong || ["safe-load", "load-torque"].contains(&id)
}

fn open(text: &str) -> Vec<Finding> {
    let kit = kit(text);
    let profile = Profile::untuned_for(&kit);
    let design = drawn(&kit, &profile);
    let rates = rates(&design);
    let mut found = of_design(&Case {
        kit: &kit,
        profile: &profile,
        design: &design,
        rates: &rates,
    });
    found.retain(|found| of_strength(found.id) && found.outcome > Outcome::Note);
    found
}

/// The ways that a mend offers, each as what to type.
fn ways(mend: &str) -> Vec<Typed> {
    mend.split(", or ").map(typed).collect()
}

fn typed(way: &str) -> Typed {
    let mut typed = Typed::new();
    let mut quoted = way.split('`').skip(1).step_by(2).peekable();
    while let Some(line) = quoted.next() {
        let (leaf, value) = line.split_once(" = ").expect("a line to type");
        // What follows without a value is its table.
        let table = quoted.next_if(|next| !next.contains(" = "));
        let path = table.map_or(leaf.into(), |table| format!("{table}.{leaf}"));
        typed.push((path, value.into()));
    }
    // The last such words are the mend; those before it tell what is wrong.
    let load = way.rsplit_once("write a load of ");
    if let Some((load, _)) = load.and_then(|(_, rest)| rest.split_once(" N or less")) {
        typed.push(("load".into(), format!("\"{load} N\"")));
    }
    typed
}

/// The kit with what a way tells to type.
fn followed(text: &str, way: &Typed) -> String {
    let table = text.contains("load = {");
    way.iter().fold(text.to_owned(), |text, (path, value)| {
        let path = match path.as_str() {
            "load" if table => "load.force",
            path => path,
        };
        with_value(&text, path, value).expect("a key of a kit")
    })
}

/// The place that a finding tells of: its words between the verb and the figures.
fn place(finding: &Finding) -> String {
    let words = ["stresses ", "pushes ", "falls on ", "a ridge of "];
    let message = &finding.message;
    let place = words.iter().find_map(|word| message.split(word).nth(1));
    let place = place.unwrap_or("load").split([':', ',']).next();
    place.unwrap_or_default().into()
}

#[test]
fn every_way_that_a_mend_tells_mends_what_it_stands_at() {
    let (mut followed_ways, mut helpless) = (0, Vec::new());
    for text in weak() {
        let found = open(&text);
        assert!(!found.is_empty(), "{text}");
        for finding in &found {
            let mend = finding.mend.as_deref().expect("a mend");
            if mend.starts_with("no single key") {
                helpless.push(place(finding));
                continue;
            }
            for way in ways(mend) {
                assert!(!way.is_empty(), "nothing to type in: {mend}");
                let after = open(&followed(&text, &way));
                let same = |one: &&Finding| one.id == finding.id && place(one) == place(finding);
                let left = after.iter().find(same).map(|one| one.outcome);
                assert!(
                    left != Some(Outcome::Fail) && left.is_none_or(|left| left < finding.outcome),
                    "{text}\n{}\n{mend}\n{way:?}: {left:?}",
                    finding.message
                );
                followed_ways += 1;
            }
        }
    }
    assert!(followed_ways > 60, "{followed_ways}");
    // Nothing but ridges and what hangs on both threads may be helpless.
    assert!(helpless.len() < followed_ways / 4, "{helpless:?}");
}

#[test]
fn a_torque_that_is_told_clears_every_place_at_once() {
    let mut cleared = 0;
    for text in weak() {
        for finding in open(&text) {
            let all = ways(finding.mend.as_deref().expect("a mend"));
            let by_hand = |way: &&Typed| way.iter().any(|(path, _)| path == "hand_torque");
            for way in all.iter().filter(by_hand) {
                let left = open(&followed(&text, way));
                let pressed = left.iter().find(|one| one.message.starts_with("a hand's"));
                assert!(pressed.is_none(), "{text}{way:?}: {pressed:?}");
                let reach = left.iter().find(|one| one.message.contains("moves"));
                assert!(reach.is_none(), "{text}{way:?}: {reach:?}");
                cleared += 1;
            }
        }
    }
    assert!(cleared > 20, "{cleared}");
}

#[test]
fn a_load_that_no_torque_moves_without_breaking_is_told_so_and_a_stronger_part_comes_first() {
    let press = format!("{SINGLE}drive = \"M16x2\"\nstroke = 25\nmaterial = \"PETG\"\n");
    let neck = |load: &str| {
        let kit = format!("{press}load = \"{load}\"\n");
        judged_like(&kit, "stop-load", "drive", "neck")
            .mend
            .expect("a mend")
    };
    let much = neck("400 N");
    assert!(much.starts_with("take a thicker screw"), "{much}");
    assert!(
        much.contains("no torque both moves the load of 400 N and spares"),
        "{much}"
    );
    let little = neck("100 N");
    assert!(!little.contains("no torque"), "{little}");
    assert!(little.ends_with("turn with two fingers only and write `hand_torque = \"0.85 N m\"`"));
}

#[test]
fn grease_is_told_only_where_it_helps_and_overloads_nothing() {
    // Dry, 0.2 N m move 24 N at 0.38; greased 44. A hand of 1.4 N m moves 170 N, greased 310; at
    // 0.05 it would press a greased swivel with 980 N and bend its pins too far.
    let press = format!("{SINGLE}drive = \"M20x2.5\"\nstroke = 25\nmaterial = \"PLA\"\n");
    let with = |hand: f64, load: f64| {
        let kit = format!("{press}hand_torque = {hand}\nload = \"{load} N\"\n");
        judged_like(&kit, "stop-load", "load", "moves")
    };
    let [gentle, firm] = [with(0.2, 40.0), with(1.4, 190.0)];
    assert_eq!([gentle.outcome, firm.outcome], [Outcome::Fail; 2]);
    let [gentle, firm] = [gentle, firm].map(|found| found.mend.expect("a mend"));
    assert!(gentle.contains("`grease = true`"), "{gentle}");
    assert!(!firm.contains("grease"), "{firm}");
}
