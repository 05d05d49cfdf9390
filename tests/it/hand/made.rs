//! Kits made by the program, and what it wrote of them: meshes, report and guide.
//!
//! A mesh is read here by a few lines of this test's own, so that nothing but the file is trusted.

use super::asked::{self, Asked, KIT};
use crate::support::bench::in_parallel;
use nalgebra::Point3;
use netlead::making::{self, InMemory, Refusal};
use netlead::output::kit::report::Report;
use netlead::solid::Mesh;
use serde_json::Value;
use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::process::{Command, Output};
use std::sync::OnceLock;

/// What the program says of a kit.
pub(crate) struct Told {
    pub(crate) asked: Asked,
    pub(crate) report: Value,
}

/// A piece where it stands at turn 0, and how it moves in a turn of the stroke.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    pub(crate) part: String,
    rows: [[f64; 4]; 4],
    pub(crate) advance: f64,
    /// Of a turn, clockwise for an eye at the drive head.
    pub(crate) turns: f64,
}

impl Piece {
    /// A point of the print frame in the assembly at turn 0.
    pub(crate) fn place(&self, point: [f64; 3]) -> [f64; 3] {
        [0, 1, 2].map(|row| {
            let along = self.direct(point);
            along[row] + self.rows[row][3]
        })
    }

    /// A direction of the print frame in the assembly.
    pub(crate) fn direct(&self, way: [f64; 3]) -> [f64; 3] {
        [0, 1, 2].map(|row| {
            (0..3)
                .map(|column| self.rows[row][column] * way[column])
                .sum()
        })
    }
}

impl Told {
    /// Asks for the report alone, drawn even where a rule fails that needs no mesh.
    pub(crate) fn new(asked: &Asked) -> Result<Self, String> {
        let shelf = InMemory::none();
        let read = making::read(KIT, &asked.text, &shelf);
        let product = read.and_then(|read| read.work(&|_| {}));
        let product = product.map_err(|refusal| match refusal {
            Refusal::Rejected(why) | Refusal::Broken(why) => why,
        })?;
        let report = Report::new(&product, &[]).to_json().unwrap();
        Ok(Self {
            asked: asked.clone(),
            report: serde_json::from_str(&report).unwrap(),
        })
    }

    pub(crate) fn steps(&self) -> &[Value] {
        self.report["steps"].as_array().unwrap()
    }

    /// The step with an action.
    pub(crate) fn step(&self, action: &str) -> Option<&Value> {
        self.steps().iter().find(|step| step["action"] == action)
    }

    pub(crate) fn removals(&self) -> &[Value] {
        self.report["removals"]
            .as_array()
            .map_or(&[], Vec::as_slice)
    }

    /// The removal of exactly these pieces.
    pub(crate) fn removal(&self, pieces: &[&str]) -> &Value {
        let named = |removal: &&Value| {
            let mut names: Vec<&str> = text_list(&removal["pieces"]);
            names.sort_unstable();
            names == pieces && removal["motion"]["kind"] != "driven"
        };
        self.removals().iter().find(named).unwrap()
    }

    /// A piece by its name.
    pub(crate) fn piece(&self, name: &str) -> Piece {
        let parts = self.report["parts"].as_array().unwrap().iter();
        let mut all = parts.flat_map(|part| {
            let pieces = part["instances"].as_array().unwrap().iter();
            pieces.map(move |piece| (part, piece))
        });
        let (part, piece) = all.find(|(_, piece)| piece["name"] == name).unwrap();
        Piece {
            part: part["name"].as_str().unwrap().into(),
            rows: [0, 1, 2, 3].map(|row| {
                [0, 1, 2, 3].map(|column| number(&piece["assembly_from_print"][row][column]))
            }),
            advance: number(&piece["per_turn"]["advance_mm"]),
            turns: number(&piece["per_turn"]["turns"]),
        }
    }

    /// What a part is bought as.
    pub(crate) fn bought(&self, part: &str) -> Option<&str> {
        let parts = self.report["parts"].as_array().unwrap();
        let part = parts.iter().find(|found| found["name"] == part).unwrap();
        part["description"].as_str()
    }
}

pub(crate) fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

pub(crate) fn text(value: &Value) -> &str {
    value.as_str().unwrap()
}

pub(crate) fn text_list(value: &Value) -> Vec<&str> {
    value.as_array().unwrap().iter().map(text).collect()
}

/// A kit in its folder.
pub(crate) struct Made {
    pub(crate) name: &'static str,
    pub(crate) told: Told,
    pub(crate) guide: String,
    pub(crate) terminal: String,
    parts: BTreeMap<String, Mesh>,
    marks: BTreeMap<String, String>,
}

impl Made {
    fn new(name: &'static str, asked: &Asked) -> Self {
        let room = asked.room();
        let made = netlead(room.path(), &["make", KIT, "--out", "out", "--all"]);
        let said = String::from_utf8(made.stdout).unwrap();
        let errors = String::from_utf8(made.stderr).unwrap();
        assert!(made.status.success(), "{name}: {errors}");
        let out = room.path().join("out");
        let read = |file: &str| std::fs::read_to_string(out.join(file)).unwrap();
        let report: Value = serde_json::from_str(&read("report.json")).unwrap();
        let guide = read("guide.md");
        let parts = report["parts"].as_array().unwrap().iter();
        let parts = parts
            .filter_map(|part| {
                let bytes = std::fs::read(out.join(part["file"].as_str()?)).unwrap();
                Some((text(&part["name"]).to_owned(), stl(&bytes)))
            })
            .collect();
        Self {
            name,
            told: Told {
                asked: asked.clone(),
                report,
            },
            marks: marks(&guide),
            guide,
            terminal: said,
            parts,
        }
    }

    /// What `take-apart` prints.
    pub(crate) fn take_apart(&self) -> String {
        let room = self.told.asked.room();
        let apart = netlead(room.path(), &["take-apart", KIT]);
        String::from_utf8(apart.stdout).unwrap()
    }

    /// A printed part as it stands on the bed.
    pub(crate) fn part(&self, name: &str) -> &Mesh {
        &self.parts[name]
    }

    /// A piece's mesh in the assembly at turn 0.
    pub(crate) fn stands(&self, piece: &str) -> Mesh {
        let piece = self.told.piece(piece);
        let mut mesh = self.part(&piece.part).clone();
        for point in &mut mesh.points {
            *point = piece.place([point.x, point.y, point.z]).into();
        }
        mesh
    }

    /// What the guide says of a part's marks.
    pub(crate) fn mark(&self, part: &str) -> &str {
        &self.marks[part]
    }

    pub(crate) fn is_nested(&self) -> bool {
        self.told.asked.inner.is_some()
    }

    /// Names of all pins that hold something.
    pub(crate) fn pins(&self) -> &'static [&'static str] {
        if self.is_nested() {
            &["cross pin", "keeper pin 1", "keeper pin 2"]
        } else {
            &[
                "swivel pin 1",
                "swivel pin 2",
                "keeper pin 1",
                "keeper pin 2",
            ]
        }
    }

    /// Diameter of the pins, in mm: of the mesh, or of what is bought.
    pub(crate) fn pin_diameter(&self) -> f64 {
        match self.told.bought("pin") {
            Some(bought) => super::dowels::Dowel::read(bought).diameter,
            // A pin lies along x on its flat: y is its whole width.
            None => self.part("pin").size()[1],
        }
    }
}

/// What stands under the guide's heading of marks, by part.
fn marks(guide: &str) -> BTreeMap<String, String> {
    let section = guide.split("## Marks\n\n").nth(1).unwrap();
    let lines = section.lines().take_while(|line| !line.is_empty());
    lines
        .map(|line| {
            let (part, mark) = line.trim_start_matches("- ").split_once(": ").unwrap();
            (part.to_owned(), mark.to_owned())
        })
        .collect()
}

pub(crate) fn netlead(room: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_netlead"))
        .args(arguments)
        .env("RAYON_NUM_THREADS", "1")
        .current_dir(room)
        .output()
        .unwrap()
}

/// A binary STL: 80 bytes, a count, then a normal, three corners and two bytes each; corners that
/// are the same to the bit are one.
fn stl(bytes: &[u8]) -> Mesh {
    let word = |at: usize| -> [u8; 4] { bytes[at..at + 4].try_into().unwrap() };
    let count = u32::from_le_bytes(word(80)) as usize;
    let (mut points, mut seen) = (Vec::new(), HashMap::new());
    let mut corner = |at: usize| {
        let bits = [0, 4, 8].map(|offset| u32::from_le_bytes(word(at + offset)));
        *seen.entry(bits).or_insert_with(|| {
            let [x, y, z] = bits.map(|bits| f64::from(f32::from_bits(bits)));
            points.push(Point3::new(x, y, z));
            (points.len() - 1) as u32
        })
    };
    let triangles = (0..count)
        .map(|facet| [12, 24, 36].map(|offset| corner(84 + 50 * facet + offset)))
        .collect();
    Mesh { points, triangles }
}

/// All of them, made once for every test of this binary.
pub(crate) fn kits() -> &'static [Made] {
    static KITS: OnceLock<Vec<Made>> = OnceLock::new();
    KITS.get_or_init(|| in_parallel(&asked::all(), |(name, asked)| Made::new(name, asked)))
}

/// What is wrong with any of them: fails with the whole list.
pub(crate) fn every_kit(faults: impl Fn(&Made) -> Vec<String> + Sync) {
    let found = in_parallel(kits(), |made| {
        let faults = faults(made).into_iter();
        faults
            .map(|fault| format!("{}: {fault}", made.name))
            .collect::<Vec<_>>()
    });
    let found = found.concat();
    assert!(found.is_empty(), "{}", found.join("\n"));
}
