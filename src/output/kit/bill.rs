//! The bill: what to print, what to buy, what to have at hand; as rows and as `bill.csv`.
//!
//! CSV after RFC 4180: CRLF at line ends, quotes where a field needs them, a header row in
//! `snake_case` with units as suffixes, which are inches for an inch kit. A field that does not apply
//! is empty. Sizes are those of the print frame; volume and mass are of one piece, the mass as it is printed, as the guide has it. What
//! printing all of it takes, with walls and infill, is one sentence ([`total`]).

use super::product::{BenchAid, KitFacts, Product};
use super::{aids, care, sentences};
use crate::assembly::{Fastener, Made, Part, PartId};
use crate::output::file::OutFile;
use crate::output::format::{Format, FormatError};
use crate::output::part::reprint_path;
use crate::output::words::{self, density, material_name};
use crate::printing_time::INFILL;
use crate::units::Length;
use crate::units_told::{CALIPER_OF_INCHES, Told, number};

/// Where a row's thing comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// From the printer.
    Printed,
    /// From a shop.
    Bought,
    /// From the bench; it stays there.
    Tool,
    /// From nowhere: what to heed, for whoever has the bill alone.
    Caution,
}

impl Kind {
    /// As the bill has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Printed => "printed",
            Self::Bought => "bought",
            Self::Tool => "tool",
            Self::Caution => "caution",
        }
    }
}

/// One line of the bill.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Where it comes from.
    pub kind: Kind,
    /// Name of part or tool.
    pub name: String,
    /// How people call it.
    pub called: String,
    /// How many, spares included.
    pub quantity: usize,
    /// Of which spares.
    pub spares: usize,
    /// What to ask for in the shop, or what the tool does; empty for printed parts.
    pub description: String,
    /// How the part is told from its neighbours.
    pub mark: String,
    /// By what a printed part is told from an older one of its kind; empty for anything else.
    pub revision: String,
    /// What is sunk into it to be read there; empty where nothing is.
    pub sunk: String,
    /// Relative to the folder.
    pub file: Option<String>,
    /// Of the bounding box, in the print frame, in mm.
    pub size_mm: Option<[f64; 3]>,
    /// Of one piece.
    pub volume_mm3: Option<f64>,
    /// Of one piece printed solid, in grams.
    pub mass_g: Option<f64>,
    /// Of one piece as it is printed, its inside filled as it asks, in grams; `None` where that was not
    /// worked out.
    pub filled_g: Option<f64>,
    /// Filament.
    pub material: Option<&'static str>,
    /// How it lies on the bed, and its walls.
    pub print_note: String,
}

/// Parts in the order of the assembly, the printed ones before the bought, then bolts and their kin, the
/// tools and the cautions.
pub fn rows(product: &Product) -> Vec<Row> {
    let parts = &product.design.assembly.parts;
    let mut rows: Vec<Row> = parts
        .iter()
        .enumerate()
        .map(|(index, part)| part_row(product, PartId(index), part))
        .collect();
    // A stable sort: equal kinds keep the order of the assembly.
    rows.sort_by_key(|row| row.kind == Kind::Bought);
    rows.extend(product.design.fasteners.iter().map(fastener_row));
    rows.extend(product.design.tools.iter().map(|tool| Row {
        description: tool.description.clone(),
        ..Row::bare(Kind::Tool, &tool.name, 1)
    }));
    let aids = product.bench_aids().map(|aid| aid_row(product, aid));
    rows.extend(aids);
    rows.extend(sentences::cautions(product).into_iter().map(|caution| Row {
        description: format!("{}: {}", caution.signal.word(), caution.text),
        ..Row::bare(Kind::Caution, "", 0)
    }));
    rows
}

impl Row {
    fn bare(kind: Kind, name: &str, quantity: usize) -> Self {
        Self {
            kind,
            name: name.into(),
            called: name.into(),
            quantity,
            spares: 0,
            description: String::new(),
            mark: String::new(),
            revision: String::new(),
            sunk: String::new(),
            file: None,
            size_mm: None,
            volume_mm3: None,
            mass_g: None,
            filled_g: None,
            material: None,
            print_note: String::new(),
        }
    }
}

/// What is bought to bolt something together or down, behind the bought parts.
fn fastener_row(fastener: &Fastener) -> Row {
    Row {
        called: fastener.called.into(),
        description: fastener.description.clone(),
        ..Row::bare(Kind::Bought, fastener.name, fastener.quantity)
    }
}

fn part_row(product: &Product, id: PartId, part: &Part) -> Row {
    let label = part.label.as_ref();
    let common = Row {
        called: part.called.into(),
        spares: part.spares,
        mark: part.mark.clone(),
        revision: label.map_or(String::new(), |label| label.revision.clone()),
        sunk: label
            .and_then(|label| label.sunk.clone())
            .unwrap_or_default(),
        ..Row::bare(Kind::Printed, &part.name, part.quantity)
    };
    match &part.made {
        Made::Bought(description) => Row {
            kind: Kind::Bought,
            description: description.clone(),
            ..common
        },
        Made::Printed => {
            let written = product.written(id);
            Row {
                file: product.file_of(id),
                size_mm: written.map(|file| file.size_mm),
                volume_mm3: written.map(|file| file.volume_mm3),
                mass_g: written.map(|file| solid_mass(file.volume_mm3, &product.kit)),
                filled_g: filled(product, id),
                material: Some(material_name(product.kit.material)),
                print_note: format!("{}{}", part.print_note, care::print_note(product, id.0)),
                ..common
            }
        }
    }
}

/// A bench aid, which is a tool with a file.
pub fn aid_row(product: &Product, aid: &BenchAid) -> Row {
    let (part, written) = (&aid.aid.part, &aid.written);
    let label = part.label.as_ref();
    Row {
        called: part.called.into(),
        description: aids::purpose(product, aid),
        mark: part.mark.clone(),
        revision: label.map_or(String::new(), |label| label.revision.clone()),
        file: Some(aid.file()),
        size_mm: Some(written.size_mm),
        volume_mm3: Some(written.volume_mm3),
        mass_g: Some(solid_mass(written.volume_mm3, &product.kit)),
        filled_g: Some(solid_mass(aid.estimate.plastic_mm3, &product.kit)),
        material: Some(material_name(product.kit.material)),
        print_note: part.print_note.clone(),
        ..Row::bare(Kind::Tool, &part.name, part.quantity)
    }
}

/// Grams of plastic that one piece takes.
fn filled(product: &Product, part: PartId) -> Option<f64> {
    let alone = product.job.as_ref()?.each.get(part.0)?.as_ref()?;
    Some(solid_mass(alone.plastic_mm3, &product.kit))
}

/// Grams of a volume in cubic millimetres, without any hollow.
pub fn solid_mass(volume_mm3: f64, kit: &KitFacts) -> f64 {
    const CUBIC_MM_PER_CUBIC_CM: f64 = 1000.0;
    volume_mm3 / CUBIC_MM_PER_CUBIC_CM * density(kit.material)
}

/// What printing all of it takes, spares included, in one sentence; none if it was not worked
/// out.
pub fn total(product: &Product) -> Option<String> {
    let job = product.job.as_ref()?;
    let whole = &job.whole;
    let beds = match job.beds.len() {
        1 => "on one bed".to_string(),
        several => format!("on {several} beds"),
    };
    Some(format!(
        "all of it: about {} of printing, between {} and {}; {:.0} g, each part filled as it asks, \
         else {} walls and {:.0} % infill, {beds}",
        whole.time.told(),
        whole.least.told(),
        whole.most.told(),
        solid_mass(whole.plastic_mm3, &product.kit),
        job.walls,
        100.0 * INFILL
    ))
}

/// Hours and grams of what is to be printed again, and on which files' beds; none if that was not asked for.
pub fn again_in_short(product: &Product) -> Option<String> {
    let job = product.reprint.as_ref()?;
    let first = reprint_path(1);
    let files = match job.beds.len() {
        0 => return Some("nothing: all parts may stay".into()),
        1 => first,
        beds => format!("{first} to {}", reprint_path(beds)),
    };
    let pieces = match job.beds.iter().map(|bed| bed.places.len()).sum::<usize>() {
        1 => "one piece".to_owned(),
        several => format!("{several} pieces"),
    };
    Some(format!(
        "{files}: {pieces}, about {}, {:.0} g",
        job.whole.time.told(),
        solid_mass(job.whole.plastic_mm3, &product.kit)
    ))
}

/// Hours and grams of all of it, for the digest; none if it was not worked out.
pub fn in_short(product: &Product) -> Option<String> {
    let job = product.job.as_ref()?;
    let whole = &job.whole;
    let beds = match job.beds.len() {
        1 => "one bed".to_string(),
        several => format!("{several} beds"),
    };
    Some(format!(
        "{} ({} to {}), {:.0} g of {}, {beds}",
        whole.time.told(),
        whole.least.told(),
        whole.most.told(),
        solid_mass(whole.plastic_mm3, &product.kit),
        material_name(product.kit.material)
    ))
}

/// Columns of `bill.csv`, by the units in which the maker reads.
pub const fn columns(told: Told) -> [&'static str; 16] {
    let [x, y, z, volume] = match told {
        Told::Metric => ["size_x_mm", "size_y_mm", "size_z_mm", "volume_mm3"],
        Told::Inch => ["size_x_in", "size_y_in", "size_z_in", "volume_in3"],
    };
    [
        "kind",
        "part",
        "quantity",
        "of_which_spares",
        "description",
        "mark",
        "revision",
        "sunk",
        "file",
        x,
        y,
        z,
        volume,
        "mass_g",
        "material",
        "print_note",
    ]
}

/// Name of the bill.
const BILL: &str = "bill.csv";

/// The format.
pub struct BillFile;

impl Format<Product> for BillFile {
    fn files(&self, product: &Product) -> Result<Vec<OutFile>, FormatError> {
        let bytes = csv(&rows(product), product.kit.told()).map_err(FormatError::of("the bill"))?;
        Ok(vec![OutFile::new(BILL, bytes)])
    }

    fn owns(&self, name: &str) -> bool {
        name == BILL
    }
}

/// `bill.csv`.
///
/// # Errors
/// None that rows can cause; the writer's type has one.
pub fn csv(rows: &[Row], told: Told) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(columns(told))?;
    for row in rows {
        writer.write_record(fields(row, told))?;
    }
    writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))
}

fn fields(row: &Row, told: Told) -> [String; 16] {
    // Caliper figures: hundredths of a millimetre or tenths of a thousandth of an inch, whole cubic
    // millimetres or thousandths of a cubic inch, tenths of a gram.
    let inch = Length::inches(1.0).as_mm();
    let [(unit, length), (cube, volume)] = match told {
        Told::Metric => [(1.0, 2), (1.0, 0)],
        Told::Inch => [(inch, CALIPER_OF_INCHES), (inch * inch * inch, 3)],
    };
    let figure = |value: Option<f64>, decimals| {
        value.map_or_else(String::new, |value| number(value, decimals))
    };
    let count = |pieces: usize| match row.kind {
        Kind::Caution => String::new(),
        Kind::Printed | Kind::Bought | Kind::Tool => pieces.to_string(),
    };
    let side = |axis: usize| figure(row.size_mm.map(|size| size[axis] / unit), length);
    [
        row.kind.word().into(),
        row.name.clone(),
        count(row.quantity),
        count(row.spares),
        row.description.clone(),
        row.mark.clone(),
        row.revision.clone(),
        row.sunk.clone(),
        row.file.clone().unwrap_or_default(),
        side(0),
        side(1),
        side(2),
        figure(row.volume_mm3.map(|whole| whole / cube), volume),
        figure(row.filled_g.or(row.mass_g), 1),
        row.material.unwrap_or_default().into(),
        row.print_note.clone(),
    ]
}

/// What is to be said of pieces that stand nowhere: `2 spare`, or that one may be chosen.
pub fn spares(row: &Row) -> Option<String> {
    match row.spares {
        0 => None,
        all if all == row.quantity => Some("to choose from".into()),
        some => Some(format!("{some} spare")),
    }
}

/// Sides of the box around a part, inches first where the maker reads inches.
pub fn size(row: &Row, told: Told) -> Option<String> {
    let sides = row.size_mm?;
    let by = |decimals: usize, side: fn(f64) -> f64| {
        let sides = sides.map(|value| number(side(value), decimals));
        sides.join(" x ")
    };
    let metric = format!("{} mm", by(1, |side| side));
    Some(match told {
        Told::Metric => metric,
        Told::Inch => {
            let inches = by(3, |side| Length::mm(side).as_inches());
            format!("{inches} in ({metric})")
        }
    })
}

/// What people are told that one piece weighs: as it is printed where that was worked out.
pub fn weight(row: &Row) -> Option<String> {
    match (row.filled_g, row.mass_g) {
        (Some(filled), _) => Some(format!("{filled:.1} g")),
        (None, Some(solid)) => Some(format!("{solid:.1} g if solid")),
        (None, None) => None,
    }
}

/// One line for people: `5 x pin, 2 spare: 40 x 5.5 x 4.7 mm, 1.1 g`.
pub fn line(row: &Row, told: Told) -> String {
    let spare = spares(row).map_or(String::new(), |spare| format!(", {spare}"));
    let mut text = format!("{} x {}{spare}", row.quantity, words::plain(&row.called));
    let mut about = Vec::new();
    about.extend(size(row, told));
    about.extend(weight(row));
    if !row.revision.is_empty() {
        about.push(format!("revision {}", row.revision));
    }
    if !row.description.is_empty() {
        about.push(words::plain(&row.description));
    }
    if !about.is_empty() {
        text.push_str(": ");
        text.push_str(&about.join(", "));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::output::kit::fixture;
    use proptest::prelude::*;

    fn read(bytes: &[u8]) -> Vec<Vec<String>> {
        csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(bytes)
            .records()
            .map(|record| record.unwrap().iter().map(String::from).collect())
            .collect()
    }

    #[test]
    fn awkward_text_is_quoted_as_rfc_4180_section_2_says() {
        let mut product = fixture::nested();
        product.design.assembly.parts[0].mark = "one \"V\", +y\nside".into();
        let bytes = csv(&rows(&product), Told::Metric).unwrap();
        let text = String::from_utf8(bytes.clone()).unwrap();
        assert!(text.contains("\"one \"\"V\"\", +y\nside\""));
        assert!(text.starts_with("kind,part,quantity,of_which_spares,"));
        assert!(text.ends_with("\r\n"));
        assert_eq!(read(&bytes)[1][5], "one \"V\", +y\nside");
    }

    #[test]
    fn the_bill_weighs_a_piece_as_the_guide_does() {
        let mut all = rows(&fixture::nested());
        let frame = &mut all[0];
        frame.filled_g = Some(71.6);
        assert!(weight(frame).expect("a weight").contains("71.6 g"));
        let mass = columns(Told::Metric)
            .iter()
            .position(|name| *name == "mass_g")
            .unwrap();
        assert_eq!(read(&csv(&all, Told::Metric).unwrap())[1][mass], "71.6");
    }

    #[test]
    fn the_bill_lists_printed_then_bought_then_tools() {
        let rows = rows(&fixture::nested_with_bought_pins());
        let kinds: Vec<_> = rows.iter().map(|row| row.kind.word()).collect();
        let mut sorted = kinds.clone();
        sorted.sort_by_key(|kind| {
            ["printed", "bought", "tool", "caution"]
                .iter()
                .position(|k| k == kind)
        });
        assert_eq!(kinds, sorted);
        assert!(kinds.contains(&"bought") && kinds.contains(&"tool"));
    }

    #[test]
    fn who_has_the_bill_alone_is_cautioned_too() {
        let bytes = csv(&rows(&fixture::nested()), Told::Metric).unwrap();
        let cautions: Vec<_> = read(&bytes)
            .into_iter()
            .filter(|fields| fields[0] == "caution")
            .collect();
        assert_eq!(cautions.len(), words::CAUTIONS.len());
        assert!(cautions[0][4].contains("Not for lifting"));
        assert!(cautions.iter().all(|fields| fields[2].is_empty()));
    }

    #[test]
    fn spare_pins_are_counted_in_and_told() {
        let product = fixture::nested();
        let rows = rows(&product);
        let pin = rows.iter().find(|row| row.name == "pin").unwrap();
        assert_eq!((pin.quantity, pin.spares), (5, 2));
        assert!(line(pin, Told::Metric).starts_with("5 x pin, 2 spare"));
    }

    #[test]
    fn what_stands_nowhere_is_there_to_choose_from() {
        let mut product = fixture::nested();
        let pin = &mut product.design.assembly.parts;
        let pin = pin.iter_mut().find(|part| part.name == "pin").unwrap();
        (pin.quantity, pin.spares) = (3, 3);
        let rows = rows(&product);
        let pin = rows.iter().find(|row| row.name == "pin").unwrap();
        assert!(line(pin, Told::Metric).starts_with("3 x pin, to choose from"));
    }

    #[test]
    fn sizes_of_an_inch_kit_are_told_in_inches_first() {
        let product = fixture::nested_in_inches();
        let rows = rows(&product);
        assert_eq!(
            line(&rows[1], product.kit.told()),
            "1 x drive screw: 0.394 x 0.394 x 0.394 in (10 x 10 x 10 mm), 0.2 g if solid"
        );
    }

    #[test]
    fn the_bill_of_an_inch_kit_has_no_column_in_millimetres() {
        let rows = rows(&fixture::nested_in_inches());
        let read = read(&csv(&rows, Told::Inch).unwrap());
        assert!(read[0].iter().all(|name| !name.contains("mm")), "{read:?}");
        let value = |name: &str| {
            let place = read[0].iter().position(|known| known == name).unwrap();
            read[1][place].clone()
        };
        // 10 mm, and 1000/6 mm3 of the tetrahedron: 25.4 mm an inch (exact by definition).
        assert_eq!(value("size_x_in"), "0.3937");
        assert_eq!(value("volume_in3"), "0.01");
    }

    #[test]
    fn ten_cubic_centimetres_of_pla_weigh_12_4_grams() {
        // 1.24 g/cm3: common practice, filament data sheets.
        let product = fixture::nested();
        approx::assert_abs_diff_eq!(solid_mass(10_000.0, &product.kit), 12.4, epsilon = 1e-9);
    }

    #[test]
    fn the_total_says_time_with_its_error_mass_and_beds() {
        let minutes = crate::printing_time::Minutes;
        let mut product = fixture::nested();
        assert_eq!(total(&product), None);
        let bed = crate::printing_time::Bed {
            places: Vec::new(),
            pieces: vec![(0, 1)],
            estimate: crate::printing_time::PrintEstimate::default(),
        };
        product.job = Some(crate::printing_time::Job {
            each: Vec::new(),
            whole: crate::printing_time::PrintEstimate {
                time: minutes(220.0),
                least: minutes(154.0),
                most: minutes(330.0),
                plastic_mm3: 50_000.0,
            },
            beds: vec![bed.clone(), bed],
            room: crate::printing_time::Room {
                size: [crate::units::Length::mm(220.0); 3],
                slender: crate::assembly::Slender::Together,
            },
            walls: 4,
        });
        // 50 cm3 at 1.24 g/cm3.
        assert_eq!(
            total(&product).expect("a total"),
            "all of it: about 3 h 40 min of printing, between 2 h 30 min and 5 h 30 min; 62 g, \
             each part filled as it asks, else 4 walls and 20 % infill, on 2 beds"
        );
    }

    #[test]
    fn a_bought_part_has_neither_file_nor_filament() {
        let rows = rows(&fixture::nested_with_bought_pins());
        let pin = rows.iter().find(|row| row.kind == Kind::Bought).unwrap();
        assert_eq!(pin.description, "5 mm dowel");
        assert!(pin.file.is_none() && pin.material.is_none() && pin.mass_g.is_none());
    }

    proptest! {
        #[test]
        fn prop_any_text_comes_back_from_the_bill(
            texts in prop::collection::vec("(?s).{0,20}", 4),
        ) {
            let row = Row {
                description: texts[0].clone(),
                mark: texts[1].clone(),
                print_note: texts[2].clone(),
                ..Row::bare(Kind::Printed, &texts[3], 1)
            };
            let read = read(&csv(std::slice::from_ref(&row), Told::Metric).unwrap());
            prop_assert_eq!(read.len(), 2);
            prop_assert_eq!(read[1].clone(), fields(&row, Told::Metric).to_vec());
        }
    }
}
