//! The plain screw of a kit: the same drive thread, stroke and printing in a single layout, so that
//! the two can stand side by side.

use super::edit::{CannotSet, with_value};
use super::idle::idle_in;
use super::words::LayoutKind;
use super::{Kit, Mechanism, key, word};
use toml_edit::{DocumentMut, Item, TableLike};

/// Ends the name of a plain kit.
const PLAIN: &str = " plain";
/// Letters of a kit's name at the most ([`FOLDER_NAME`](crate::declared::FOLDER_NAME)).
const LONGEST_NAME: usize = 60;

/// Keys whose values were chosen for two threads: a second thread, assertions, lengths that follow
/// from it, gaps of joints that a plain kit has not, and what was excused.
const CHOSEN_FOR_TWO: [&str; 8] = [
    key::INNER.path,
    key::THIN.path,
    key::FAR.path,
    key::NET_LEAD.path,
    key::ADVANCE.path,
    key::DRIVE_THREAD.path,
    key::CARRIAGE_LENGTH.path,
    key::THREAD_ROOM.path,
];

/// The text of the plain kit: that of a kit, with the keys that a single layout has no use for left
/// out, and everything else as it was written. `None` of a kit that is a plain screw.
///
/// # Errors
/// Where the text has no place for a key, which a text that was read has.
pub fn plain_of(text: &str, kit: &Kit) -> Result<Option<String>, CannotSet> {
    let drive = match &kit.mechanism {
        Mechanism::Single(_) => return Ok(None),
        Mechanism::Nested(threads) => &threads.drive,
        Mechanism::Tandem(threads) => &threads.drive,
        Mechanism::Opposed(threads) => &threads.drive,
    };
    let no_place = || CannotSet::NoPlace(key::LAYOUT.path.into());
    let mut document: DocumentMut = text.parse().map_err(|_| no_place())?;
    let root = document.as_table_mut();
    let idle = idle_in(LayoutKind::Single).map(|(path, _)| path);
    let more = [key::REPEATED, key::JOINT_GAPS];
    for path in idle.chain(CHOSEN_FOR_TWO).chain(more) {
        leave_out(root, path);
    }
    // A name as long as may be has no room for another word.
    let room = LONGEST_NAME - PLAIN.len();
    let name: String = kit.name.chars().take(room).collect();
    let name = format!("\"{}{PLAIN}\"", name.trim_end());
    let text = with_value(&document.to_string(), key::NAME.path, &name)?;
    let single = format!("\"{}\"", word(LayoutKind::Single));
    let text = with_value(&text, key::LAYOUT.path, &single)?;
    let about = format!(
        "# The plain screw of {}: {} alone, to stand beside it\n",
        kit.name.value,
        drive.designation()
    );
    Ok(Some(format!("{about}{}", without_first_comment(&text))))
}

/// Takes the key of a dotted path away, and its table where nothing is left in it.
fn leave_out(table: &mut dyn TableLike, path: &str) {
    let Some((first, rest)) = path.split_once('.') else {
        table.remove(path);
        return;
    };
    let Some(inside) = table.get_mut(first).and_then(Item::as_table_like_mut) else {
        return;
    };
    leave_out(inside, rest);
    if inside.is_empty() {
        table.remove(first);
    }
}

/// A text without the comment that it begins with, which says what the other kit is.
fn without_first_comment(text: &str) -> &str {
    match text
        .strip_prefix('#')
        .and_then(|rest| rest.split_once('\n'))
    {
        Some((_, rest)) => rest,
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kit(text: &str) -> Kit {
        let read = crate::kit::read(text, &["bed"]);
        read.unwrap_or_else(|why| panic!("{text}: {why:?}")).0
    }

    const NESTED: &str = "# A stage\nname = \"stage\"\nlayout = \"nested\"\ndrive = \"M20x2.5-LH\"\n\
        inner = \"M12x1.75-LH\"\nstroke = 10 # kept\nnet_lead = 0.75\n\
        gaps = { slide = 0.2, joint = { \"inner/drive\" = 0.1 } }\n\
        perimeters = { inner = 6 }\n[sizes]\nbore = 50\nframe_side = 44\n\
        [[waive]]\ncheck = \"bed\"\nreason = \"a taller printer\"\n";

    #[test]
    fn a_plain_kit_keeps_its_drive_thread_stroke_and_house_and_leaves_the_second_thread_out() {
        let text = plain_of(NESTED, &kit(NESTED))
            .expect("a place")
            .expect("a plain kit");
        let plain = kit(&text);
        let Mechanism::Single(threads) = &plain.mechanism else {
            panic!("{text}");
        };
        assert_eq!(threads.drive.designation(), "M20x2.5-LH");
        assert_eq!(plain.name.as_str(), "stage plain");
        assert_eq!(plain.stroke.as_mm(), 10.0);
        assert_eq!(
            plain.sizes.frame_side.as_ref().expect("a side").as_mm(),
            44.0
        );
        assert_eq!(plain.gaps.slide.as_ref().expect("a gap").as_mm(), 0.2);
        assert!(plain.gaps.joints.is_empty() && plain.waive.is_empty());
        assert!(plain.net_lead.is_none());
        assert!(
            text.starts_with("# The plain screw of stage: M20x2.5-LH alone")
                && text.contains("# kept")
        );
        assert!(!text.contains("# A stage") && !text.contains("perimeters"));
    }

    #[test]
    fn a_kit_whose_name_is_as_long_as_may_be_has_a_plain_one() {
        let long = NESTED.replace("\"stage\"", &format!("\"{}\"", "s".repeat(LONGEST_NAME)));
        let text = plain_of(&long, &kit(&long)).expect("a place");
        let plain = kit(&text.expect("a plain kit"));
        assert_eq!(plain.name.chars().count(), LONGEST_NAME);
        assert!(plain.name.ends_with(PLAIN));
    }

    #[test]
    fn the_plain_kit_of_a_plain_kit_is_none() {
        let text = "name = \"t\"\nlayout = \"single\"\ndrive = \"M20x2.5\"\nstroke = 10\n";
        assert_eq!(plain_of(text, &kit(text)), Ok(None));
    }
}
