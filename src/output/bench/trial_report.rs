//! `report.json` of a trial: the page as data.

use crate::output::file::REPORT;
use crate::output::format::{FormatError, Listing};
use crate::trial::{Direction, Estimate, State, Trial};
use crate::units::Length;
use serde::Serialize;

/// By which a trial's report, of any version, is known.
pub(crate) const SCHEMA_FAMILY: &str = "netlead-trial/";
/// Version of the report.
const SCHEMA: &str = "netlead-trial/1";

/// The format.
pub(crate) struct ReportFile;

impl Listing<Trial> for ReportFile {
    fn path(&self) -> &'static str {
        REPORT
    }

    fn family(&self) -> &'static str {
        SCHEMA_FAMILY
    }

    fn bytes(&self, trial: &Trial, files: &[String]) -> Result<Vec<u8>, FormatError> {
        let text = json(trial, files);
        text.map(String::into_bytes)
            .map_err(FormatError::of("the report"))
    }
}

#[derive(Serialize)]
struct Interval {
    value_mm: f64,
    standard_error_mm: f64,
    low_mm: f64,
    high_mm: f64,
}

impl From<&Estimate> for Interval {
    fn from(estimate: &Estimate) -> Self {
        Self {
            value_mm: estimate.value,
            standard_error_mm: estimate.error,
            low_mm: estimate.value - estimate.half,
            high_mm: estimate.value + estimate.half,
        }
    }
}

/// The trial as data, with a line end.
///
/// # Errors
/// None that a trial can cause.
pub(crate) fn json(trial: &Trial, files: &[String]) -> Result<String, serde_json::Error> {
    let (fit, prediction) = (&trial.fit, &trial.prediction);
    let [low, nominal, high] = prediction.lost_motion.map(Length::as_mm);
    let travels = trial.measured.travels();
    let row = |(index, row): (usize, &crate::trial::Row)| {
        serde_json::json!({
            "turns": row.turns,
            "reading_mm": row.reading.as_mm(),
            "way": row.direction.word(),
            "travel_mm": travels[index] - fit.offset,
            "residual_mm": fit.residuals[index],
            "state": match fit.states[index] {
                State::Settled => "settled",
                State::TakingUp => "taking up",
                State::Start => "start",
            },
            "stands_off": fit.outliers.contains(&index),
        })
    };
    let value = serde_json::json!({
        "schema": SCHEMA,
        "kit": { "name": prediction.name },
        "reading": trial.measured.reading.word(),
        "instrument": {
            "resolution_mm": trial.measured.instrument.resolution.as_mm(),
            "repeatability_mm": trial.measured.instrument.repeatability.as_mm(),
            "uncertainty_mm": trial.measured.instrument.uncertainty().as_mm(),
        },
        "predicted": {
            "net_lead_mm": prediction.printed_lead().as_mm(),
            "net_lead_standard_error_mm": prediction.printed_lead_error().as_mm(),
            "lost_motion_mm": { "low": low, "nominal": nominal, "high": high },
        },
        "measured": {
            "net_lead": Interval::from(&fit.lead),
            "lost_motion_beyond_step_mm": fit.lost_beyond.map(|beyond| beyond.step),
            "lost_motion": fit.lost.as_ref().map(Interval::from),
            "start_play": fit.start.as_ref().map(Interval::from),
            "within_turn": fit.ripple.as_ref().map(|ripple| serde_json::json!({
                "amplitude": Interval::from(&ripple.amplitude),
                "sine_mm": ripple.sine,
                "cosine_mm": ripple.cosine,
                "chance_of_noise": ripple.chance,
            })),
            "residual_deviation_mm": fit.deviation,
            "degrees_of_freedom": fit.freedom,
        },
        "verdict": trial.judgement.verdict.word(),
        "doubt": trial.judgement.doubt.word(),
        "chance": trial.judgement.chance,
        "row": trial.judgement.named_row().map(|row| row + 1),
        "sentence": trial.judgement.sentence,
        "sure": trial.judgement.sure,
        "mend": trial.judgement.mend,
        "scale": trial.judgement.scale.map(|scale| serde_json::json!({
            "value": scale.value,
            "low": scale.value - scale.half,
            "high": scale.value + scale.half,
        })),
        "explanations": trial.judgement.tried.iter().map(|one| serde_json::json!({
            "what": one.what,
            "chance": one.chance,
            "row": one.cause.row().map(|row| row + 1),
        })).collect::<Vec<_>>(),
        "next": {
            "decides": trial.next.decides,
            "turns": trial.next.turns,
            "way": match trial.next.direction {
                Direction::Forward => "forward",
                Direction::Back => "back",
            },
            "repeats": trial.next.repeats,
            "sentence": trial.next.sentence,
        },
        "rows": trial.measured.rows.iter().enumerate().map(row).collect::<Vec<_>>(),
        "files": files,
    });
    let mut text = serde_json::to_string_pretty(&value)?;
    text.push('\n');
    Ok(text)
}
