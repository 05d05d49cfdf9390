//! `coupon KIT`: test pieces, a sheet and a form in one folder, whole or not at all.

use super::folder::{self, Folder};
use super::pipeline::{self, Refusal};
use super::printer_file::Shelf;
use super::streams::{self, Progress};
use super::trouble::{Ending, Trouble, shown};
use super::{check, input};
use crate::coupon::{self, Coupon, Extent};
use crate::kit::Kit;
use crate::layout;
use crate::output::bench::coupon_list;
use crate::output::bench::coupon_product::CouponProduct;
use crate::output::formats::COUPON;
use crate::output::part::{Maker, Unmade};
use crate::printer::Profile;
use std::path::{Path, PathBuf};

/// Arguments as they were typed.
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
The folder holds parts/*.stl, coupon.md (what to print, measure and try) and form.toml, \
which `netlead tune` reads. A form that you have filled in is never overwritten, and \
other files that you edited are kept beside the folder, in DIR-edited.

Example:
  netlead coupon desk-stage.toml --quick
  netlead coupon desk-stage.toml --joint drive/frame --out coupons/drive
  netlead coupon desk-stage.toml --break")]
pub(super) struct Raw {
    /// The TOML file that describes the kit
    kit: PathBuf,
    /// Ladders alone, small: one bed, below 45 minutes
    #[arg(long, conflicts_with = "joint")]
    quick: bool,
    /// Pieces to break by a lever: what this print bears across its layers
    #[arg(long = "break", conflicts_with_all = ["joint", "quick"])]
    to_break: bool,
    /// The ladder of one joint alone, as drive/frame
    #[arg(long, value_name = "NAME")]
    joint: Option<String>,
    /// Folder to write, out/NAME-coupons or so if not said, after the kit's name
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

/// What is to be done.
#[derive(Debug)]
pub(super) struct Request {
    kit: PathBuf,
    extent: Extent,
    out: Option<PathBuf>,
}

/// The folder in which folders are made by default.
const DEFAULT_PARENT: &str = "out";

impl From<Raw> for Request {
    fn from(raw: Raw) -> Self {
        let extent = match (raw.joint, raw.quick) {
            _ if raw.to_break => Extent::Break,
            (Some(joint), _) => Extent::Joint(joint),
            (None, true) => Extent::Quick,
            (None, false) => Extent::Full,
        };
        Self {
            kit: raw.kit,
            extent,
            out: raw.out,
        }
    }
}

/// Makes test pieces.
pub(super) fn run(request: &Request, json: bool) -> Result<Ending, Trouble> {
    let progress = Progress::on_stderr();
    let text = input::read(&request.kit, &input::KIT)?;
    let read = match pipeline::read(&shown(&request.kit), &text, &Shelf::of(&request.kit)) {
        Ok(read) => read,
        Err(refusal) => return check::refused(&refusal),
    };
    streams::tell(&read.remarks);
    let kit = &read.kit;
    let path = request.out.clone().unwrap_or_else(|| {
        let name = folder::fit_name(&kit.name.value);
        let set = match request.extent {
            Extent::Break => "break",
            Extent::Full | Extent::Quick | Extent::Joint(_) => "coupons",
        };
        Path::new(DEFAULT_PARENT).join(format!("{name}-{set}"))
    });
    let target = Folder::at(&path, COUPON.mark())?;
    let profile = &read.profile;
    let coupon = match designed(&shown(&request.kit), &text, kit, profile, &request.extent)? {
        Ok(coupon) => coupon,
        Err(refusal) => return check::refused(&refusal),
    };
    let maker = Maker {
        kit: &kit.name,
        tolerance: *kit.tolerance,
    };
    let written = maker
        .pieces(&coupon.pieces, &|piece| progress.say(piece))
        .map_err(|unmade| broken(&unmade))?;
    let extent = request.extent.clone();
    let product = CouponProduct::new(kit.clone(), coupon, extent, written, profile);
    let files = COUPON
        .write(&product)
        .map_err(|error| Trouble::new(error.to_string()))?;
    progress.say("writing");
    streams::note(target.replace(&files)?);
    streams::note(other_set(&target, &request.extent));
    if json {
        streams::json(&String::from_utf8_lossy(COUPON.listing(&files)))?;
    } else {
        streams::page(&told(&product, &shown(&path)))?;
    }
    Ok(Ending::Done)
}

/// What is to be said if another set than the one asked for stood there.
fn other_set(target: &Folder, extent: &Extent) -> Option<String> {
    let old = coupon_list::set_of(target.earlier()?.0)?;
    let new = coupon_list::set(extent);
    (old != new).then(|| {
        format!(
            "{new} took the place of {old}; write it again with `netlead coupon`, and name a \
             folder of its own with --out DIR to keep both"
        )
    })
}

/// The test pieces of a kit, or why it has none.
fn designed(
    path: &str,
    text: &str,
    kit: &Kit,
    profile: &Profile,
    extent: &Extent,
) -> Result<Result<Coupon, Refusal>, Trouble> {
    let design = match layout::design(kit, profile) {
        Ok(design) => design,
        Err(problems) => {
            return Ok(Err(Refusal::Rejected(super::rendered(
                path, text, &problems,
            ))));
        }
    };
    coupon::coupon(kit, &design, profile, extent)
        .map(Ok)
        .map_err(|missing| {
            let known = missing.known.join(", ");
            Trouble::new(missing.to_string()).mend(format!("joints with a ladder: {known}"))
        })
}

fn broken(unmade: &Unmade) -> Trouble {
    Trouble::new(format!(
        "the mesh of test piece `{}` is not sound: {}; please report this kit",
        unmade.name, unmade.fault
    ))
}

fn told(product: &CouponProduct, folder: &str) -> String {
    let estimate = product.estimate;
    let bed = if product.one_bed {
        "one bed"
    } else {
        "more than one bed"
    };
    format!(
        "wrote {} test pieces to {folder}: {bed}, about {} ({} to {})\n\
         read {folder}/coupon.md; fill in {folder}/form.toml, then: netlead tune \
         {folder}/form.toml\n",
        product.coupon.pieces.len(),
        estimate.time,
        estimate.least,
        estimate.most
    )
}
