//! `coupon KIT`: test pieces, a sheet and a form in one folder, whole or not at all.

use super::folder::{self, Folder};
use super::printer_file::Shelf;
use super::streams::{self, Progress};
use super::trouble::{Ending, Trouble, shown};
use super::{check, input};
use crate::coupon::{self, Coupon, Extent};
use crate::kit::Kit;
use crate::layout;
use crate::making::{self, Refusal};
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
    /// Folder to write; if not said out/NAME-coupons, after the kit's name, and for a smaller set
    /// one of its own beside that
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
    let read = match making::read(&shown(&request.kit), &text, &Shelf::of(&request.kit)) {
        Ok(read) => read,
        Err(refusal) => return check::refused(&refusal),
    };
    streams::tell(&read.remarks);
    let kit = &read.kit;
    let by_name = || Path::new(DEFAULT_PARENT).join(folder_name(&kit.name.value, &request.extent));
    let path = request.out.clone().unwrap_or_else(by_name);
    let target = Folder::at(&path, COUPON.mark())?;
    refuse_other_set(&target, &path, &request.extent)?;
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
    if json {
        streams::json(&String::from_utf8_lossy(COUPON.listing(&files)))?;
    } else {
        streams::page(&told(&product, &shown(&path)))?;
    }
    Ok(Ending::Done)
}

/// The folder of a set, so that no set is written where another stands.
fn folder_name(kit: &str, extent: &Extent) -> String {
    let kit = folder::fit_name(kit);
    match extent {
        Extent::Full => format!("{kit}-coupons"),
        Extent::Quick => format!("{kit}-coupons-quick"),
        Extent::Break => format!("{kit}-break"),
        Extent::Joint(joint) => format!("{kit}-coupons-{}", folder::fit_name(joint)),
    }
}

/// Pieces that were printed must not lose their form to other ones.
fn refuse_other_set(target: &Folder, path: &Path, extent: &Extent) -> Result<(), Trouble> {
    let old = target
        .earlier()
        .and_then(|(list, _)| coupon_list::set_of(list));
    let new = coupon_list::set(extent);
    match old.filter(|old| *old != new) {
        None => Ok(()),
        Some(old) => Err(Trouble::new(format!(
            "{} holds other test pieces, {old} and not {new}; it is left as it is",
            shown(path)
        ))
        .mend("name another folder with --out DIR, or move that one away")),
    }
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
            Trouble::new(missing.to_string())
                .mend(format!("name one of the joints with a ladder: {known}"))
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
    let bed = match product.beds.len() {
        1 if product.one_bed => "one bed".to_owned(),
        1 => "more than the bed takes".to_owned(),
        beds => format!("{beds} beds"),
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
