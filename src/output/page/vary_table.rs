//! A table of report values over varied kit values: aligned for people, CSV or JSON for
//! programs.

use crate::check::{self, Outcome, Rule};
use crate::output::words::{outcome_word, plain};
use crate::units_told::number;
use serde_json::{Map, Value};

/// Short names of what is asked for most, with their place in the report.
pub const NAMES: &[(&str, &str)] = &[
    ("net-lead", "motion.net_lead_mm"),
    ("turns", "motion.turns"),
    ("lost-motion", "motion.lost_motion_turns.high"),
    ("torque", "motion.torque_nm"),
    ("efficiency", "motion.efficiency"),
    ("safe-load", "force.safe_load_n"),
    ("least-gap", "least_gap_mm"),
    ("mass", "print.mass_g"),
    ("time", "print.time_min.nominal"),
];

/// What is told when the maker does not say.
pub const SHOWN: &[&str] = &[
    "net-lead",
    "turns",
    "lost-motion",
    "safe-load",
    "least-gap",
    "mass",
];

/// Sections of the report that hang on sizes and motion alone.
const OF_SIZES: [&str; 8] = [
    "schema",
    "kit",
    "motion",
    "dial",
    "force",
    ODDS,
    "fasteners",
    "joints",
];
/// The section of what becomes of copies.
const ODDS: &str = "odds";
/// The section of the rules; which of them need meshes, they say.
const CHECKS: &str = "checks";

/// Whether what is told by a name hangs on meshes, or may.
pub fn needs_meshes(name: &str) -> bool {
    let mut segments = place(name).split('.');
    let section = segments.next().unwrap_or_default();
    match section == CHECKS {
        // What is told by its place in the list may be any.
        true => segments
            .next()
            .and_then(check::rule)
            .is_none_or(Rule::needs_meshes),
        false => !OF_SIZES.contains(&section),
    }
}

/// What of a finding is never its mend.
const OF_FINDING: [&str; 8] = [
    "id", "outcome", "subject", "value", "limit", "unit", "message", "source",
];

/// Whether what is told by a name has mends in it, or may.
pub fn may_be_a_mend(name: &str) -> bool {
    let mut segments = place(name).split('.');
    let of_checks = segments.next() == Some(CHECKS);
    of_checks
        && segments
            .nth(1)
            .is_none_or(|last| !OF_FINDING.contains(&last))
}

/// Whether what is told by a name are the odds of a kit's copies.
pub fn is_of_odds(name: &str) -> bool {
    place(name).split('.').next() == Some(ODDS)
}

/// Field of the report that says whether there are meshes.
const DRAWN: &str = "drawn";

/// Decimals of numbers in the table: a tenth of a micrometre is far below any printer.
const DECIMALS: usize = 4;
/// Columns of a value at the least.
const NARROWEST: usize = 8;
/// Columns between values.
const GUTTER: &str = "  ";

/// What came out for one choice of values.
#[derive(Clone, Debug)]
pub struct Row {
    /// The values that were set, in the order of the keys, as they were written.
    pub set: Vec<String>,
    /// The report, if there is one.
    pub report: Option<Value>,
    /// `ready`, or what keeps it from being.
    pub verdict: String,
}

impl Row {
    /// Whether it has a report in which a name that there is would be found.
    fn has(&self, name: &str) -> bool {
        let report = self.report.as_ref();
        report.is_some_and(|report| report[DRAWN] == true || !needs_meshes(name))
    }
}

/// The columns of a table.
#[derive(Clone, Debug)]
pub struct Table {
    keys: Vec<String>,
    told: Vec<String>,
    widths: Vec<usize>,
}

impl Table {
    /// A table of some keys, whose values are as wide as given at the most, and of what is told
    /// of the report: short names or places such as `parts.frame.volume_mm3`.
    pub fn new(keys: &[(String, usize)], told: &[String]) -> Self {
        let told_widths = told.iter().map(|name| name.chars().count().max(NARROWEST));
        let key_widths = keys
            .iter()
            .map(|(key, widest)| key.chars().count().max(*widest));
        Self {
            widths: key_widths.chain(told_widths).collect(),
            keys: keys.iter().map(|(key, _)| key.clone()).collect(),
            told: told.to_vec(),
        }
    }

    /// Titles, with their line end.
    pub fn titles(&self) -> String {
        let titles = self.keys.iter().chain(&self.told).cloned();
        self.line(titles, "verdict")
    }

    /// A row for people, with its line end. What is not there shows as a hyphen.
    pub fn row(&self, row: &Row) -> String {
        let told = self.told.iter().map(|name| cell(row, name));
        let set = row.set.iter().map(|value| plain(value));
        self.line(set.chain(told), &plain(&row.verdict))
    }

    fn line(&self, cells: impl Iterator<Item = String>, verdict: &str) -> String {
        let mut line = String::new();
        for (cell, width) in cells.zip(&self.widths) {
            line.push_str(&format!("{cell:>width$}{GUTTER}"));
        }
        line + verdict + "\n"
    }

    /// Titles as CSV: the places in the report, whose last words carry the units.
    ///
    /// # Errors
    /// None that text could cause; what the writer says is handed on.
    pub fn csv_titles(&self) -> csv::Result<String> {
        let places = self.told.iter().map(|name| place(name).to_owned());
        let titles = self.keys.iter().cloned().chain(places);
        record(titles.chain(["verdict".to_owned()]))
    }

    /// A row as CSV; what is not there is empty.
    ///
    /// # Errors
    /// As [`Table::csv_titles`].
    pub fn csv_row(&self, row: &Row) -> csv::Result<String> {
        let told = self.told.iter().map(|name| match found(row, name) {
            None | Some(Value::Null) => String::new(),
            Some(Value::String(text)) => text.clone(),
            Some(value) => value.to_string(),
        });
        record(
            row.set
                .iter()
                .cloned()
                .chain(told)
                .chain([row.verdict.clone()]),
        )
    }

    /// A row as data: what was set, what is told by its place, and the verdict.
    pub fn data(&self, row: &Row) -> Value {
        let set = self.keys.iter().cloned().zip(row.set.iter().cloned());
        let set = set.map(|(key, value)| (key, Value::String(value)));
        let told = self.told.iter().map(|name| {
            let value = found(row, name).cloned().unwrap_or(Value::Null);
            (place(name).to_owned(), value)
        });
        let mut entry = Map::new();
        entry.insert("set".into(), Value::Object(set.collect()));
        entry.insert("told".into(), Value::Object(told.collect()));
        entry.insert("verdict".into(), Value::String(row.verdict.clone()));
        Value::Object(entry)
    }

    /// What is told of no row at all, though some have a report in which it would be: a slip of the pen.
    pub fn never_found(&self, rows: &[Row]) -> Option<&str> {
        let never = |name: &&String| {
            let reports = rows.iter().filter(|row| row.has(name));
            let mut reports = reports.peekable();
            reports.peek().is_some() && reports.all(|row| found(row, name).is_none())
        };
        self.told.iter().find(never).map(String::as_str)
    }
}

fn record(fields: impl Iterator<Item = String>) -> csv::Result<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(fields)?;
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// The place in the report of a short name; any other name is a place.
fn place(name: &str) -> &str {
    NAMES
        .iter()
        .find(|(short, _)| *short == name)
        .map_or(name, |(_, place)| place)
}

fn cell(row: &Row, name: &str) -> String {
    match found(row, name) {
        None | Some(Value::Null) => "-".into(),
        Some(Value::Number(value)) => value
            .as_f64()
            .map_or_else(|| value.to_string(), |value| number(value, DECIMALS)),
        Some(Value::String(text)) => plain(text),
        Some(other) => plain(&other.to_string()),
    }
}

/// The value at a place: names of fields, and of list entries their `name` or `id` or place in
/// the list, with dots between. Of entries with one name, as a rule has for each place that it
/// judges, the one with the worst outcome, the first of these.
fn found<'a>(row: &'a Row, name: &str) -> Option<&'a Value> {
    let mut value = row.report.as_ref()?;
    for segment in place(name).split('.') {
        value = match value {
            Value::Object(fields) => fields.get(segment)?,
            Value::Array(entries) => {
                let is = |entry: &Value, field: &str| {
                    entry.get(field).is_some_and(|text| text == segment)
                };
                let named = entries
                    .iter()
                    .filter(|entry| is(entry, "name") || is(entry, "id"));
                named
                    .min_by_key(|entry| goodness(entry))
                    .or_else(|| entries.get(segment.parse::<usize>().ok()?))?
            }
            _ => return None,
        };
    }
    Some(value)
}

/// Outcomes from the worst; a rule's places are told apart by no other order.
const OUTCOMES: [Outcome; 4] = [Outcome::Fail, Outcome::Warn, Outcome::Waived, Outcome::Note];

/// How far an entry is from the worst outcome; what has none is as good as a pass.
fn goodness(entry: &Value) -> usize {
    let is = |outcome: &Outcome| {
        let word = entry.get("outcome");
        word.is_some_and(|word| word == outcome_word(*outcome))
    };
    let found = OUTCOMES.iter().position(is);
    found.unwrap_or(OUTCOMES.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn row() -> Row {
        Row {
            set: vec!["M12".into(), "10".into()],
            report: Some(json!({
                "drawn": true,
                "motion": { "net_lead_mm": 0.75, "torque_nm": null },
                "checks": [ { "id": "bed", "value": 96.3 }, { "id": "drive-wall", "value": 2.4 } ],
                "parts": [ { "name": "frame", "volume_mm3": 100.5 } ],
            })),
            verdict: "ready".into(),
        }
    }

    fn table(told: &[&str]) -> Table {
        let told: Vec<String> = told.iter().map(|name| name.to_string()).collect();
        Table::new(&[("inner".into(), 6), ("stroke".into(), 2)], &told)
    }

    #[test]
    fn values_stand_under_their_titles() {
        let table = table(&["net-lead", "checks.drive-wall.value", "torque"]);
        assert_eq!(
            table.titles() + &table.row(&row()),
            " inner  stroke  net-lead  checks.drive-wall.value    torque  verdict\n   \
             M12      10      0.75                      2.4         -  ready\n"
        );
    }

    #[test]
    fn data_name_their_place_with_its_unit_and_leave_out_what_is_not_there() {
        let table = table(&[
            "net-lead",
            "parts.frame.volume_mm3",
            "torque",
            "checks.0.value",
        ]);
        let titles = table.csv_titles().expect("text");
        assert_eq!(
            titles,
            "inner,stroke,motion.net_lead_mm,parts.frame.volume_mm3,motion.torque_nm,\
             checks.0.value,verdict\n"
        );
        let told = table.csv_row(&row()).expect("text");
        assert_eq!(told, "M12,10,0.75,100.5,,96.3,ready\n");
        let data = table.data(&row());
        assert_eq!(data["told"]["motion.net_lead_mm"], 0.75);
        assert_eq!(data["set"]["inner"], "M12");
    }

    #[test]
    fn of_a_rule_with_several_places_the_worst_is_told() {
        let mut row = row();
        row.report = Some(json!({ "checks": [
            { "id": "overhang", "value": 1.0, "outcome": "pass" },
            { "id": "overhang", "value": 2.0, "outcome": "warn" },
            { "id": "overhang", "value": 3.0, "outcome": "warn" },
            { "id": "bed", "value": 4.0, "outcome": "fail" },
        ]}));
        let told = |row: &Row| cell(row, "checks.overhang.value");
        assert_eq!(told(&row), "2");
        let report = row.report.as_mut().unwrap();
        report["checks"][2]["outcome"] = "fail".into();
        assert_eq!(told(&row), "3");
        let report = row.report.as_mut().unwrap();
        for at in [1, 2] {
            report["checks"][at]["outcome"] = "pass".into();
        }
        assert_eq!(told(&row), "1");
    }

    #[test]
    fn a_name_that_no_report_knows_is_noticed() {
        let table = table(&["net-lead", "parts.fram.volume_mm3"]);
        assert_eq!(table.never_found(&[row()]), Some("parts.fram.volume_mm3"));
        let refused = Row {
            report: None,
            ..row()
        };
        assert_eq!(table.never_found(&[refused]), None);
    }
}
