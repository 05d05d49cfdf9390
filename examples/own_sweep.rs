//! A sweep of one's own: which inner thread gives how much travel, and what it costs, without a mesh.
//!
//! `cargo run --release --example own_sweep`

use netlead::check::{Mends, Outcome};
use netlead::kit::Draft;
use netlead::making::{self, InMemory, Refusal, Wanted};
use netlead::thread::Thread;
use netlead::units::{Length, Torque};
use std::error::Error;
use std::fmt::Write as _;

/// Inner threads that are tried under a drive thread of M24x3.
const INNER: [&str; 5] = ["M16x2", "M14x2", "M12x1.75", "16x2.6", "16x2.8"];

/// A row for each inner thread: net lead, what stands against it, hours of printing.
pub(crate) fn told() -> Result<String, Box<dyn Error>> {
    let drive: Thread = "M24x3".parse()?;
    // Neither mends nor odds are told, and both take long.
    let wanted = Wanted {
        mends: Mends::LeftOut,
        odds: false,
    };
    let mut told = String::from("inner       mm a turn   hours   verdict\n");
    for designation in INNER {
        let inner: Thread = designation.parse()?;
        let draft = Draft::nested("sweep", &drive, &inner, Length::mm(10.0))
            .with("hand_torque", Torque::newton_metres(1.0))?;
        let read = making::read("the sweep", &draft.to_string(), &InMemory::none())?;
        let product = match read.by_sizes(wanted) {
            Ok(product) => product,
            // Threads that cannot be sized at all are a row too.
            Err(Refusal::Rejected(_)) => {
                writeln!(told, "{designation:<10} cannot be built")?;
                continue;
            }
            Err(broken) => return Err(broken.into()),
        };
        let failing = product
            .findings
            .iter()
            .find(|one| one.outcome == Outcome::Fail);
        let verdict = failing.map_or("passes what needs no mesh", |finding| finding.id);
        let job = making::expected_job(&read.kit, &read.profile, &product.design);
        writeln!(
            told,
            "{designation:<10} {:>9.3} {:>9.1}   {verdict}",
            product.motion.net_lead.as_mm(),
            job.whole.time.0 / 60.0,
        )?;
    }
    Ok(told)
}

#[expect(clippy::print_stdout, reason = "what it tells is what it is for")]
fn main() -> Result<(), Box<dyn Error>> {
    print!("{}", told()?);
    Ok(())
}
