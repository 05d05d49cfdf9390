//! Sheets against the meshes that are written, against their own scale, and against what may stand in a page.

use super::as_printed::tests::layers_of;
use super::*;
use crate::assembly::{InstanceId, JointId, Pose};
use crate::kit::{Mechanism, Nested};
use crate::making::{self, InMemory, Read};
use crate::output::kit::fits;
use crate::solid::Mesh;
use crate::thread::{Form, Hand, Thread};
use crate::units::{Angle, Length};
use std::sync::OnceLock;

/// A kit of every sort of thread joint: both hands, several starts, each layout, both units, a bought nut.
const KITS: [&str; 8] = [
    "layout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M12x1.75\"\nstroke = 10\n",
    "layout = \"nested\"\ndrive = \"M20x2.5-LH\"\ninner = \"M12x1.75-LH\"\nstroke = 10\n",
    "layout = \"nested\"\ndrive = \"M24xPh6P3\"\ninner = \"M14x2\"\nstroke = 20\n",
    "layout = \"nested\"\ndrive = \"M30xPh6P3\"\ninner = \"M16xPh6P2-LH\"\nstroke = 30\n",
    "layout = \"single\"\nunits = \"inch\"\ndrive = \"1-8 UNC\"\nstroke = \"1 in\"\nlayer = \"0.2 mm\"\n",
    "layout = \"tandem\"\ndrive = \"M24x3\"\nthin = \"M16x2\"\nnut = \"M16\"\nstroke = 20\n",
    "layout = \"tandem\"\ndrive = \"26x3.2\"\nthin = \"18x2.4\"\nstroke = 15\n",
    "layout = \"opposed\"\ndrive = \"M16x2-LH\"\nfar = \"M16x2\"\nstroke = 20\n",
];

fn read(text: &str) -> Read {
    let text = format!("name = \"test\"\n{text}");
    let read = making::read("test.toml", &text, &InMemory::none());
    read.unwrap_or_else(|refusal| panic!("{text}: {refusal:?}"))
}

fn product(text: &str) -> Product {
    let worked = read(text).work(&|_| ());
    worked.unwrap_or_else(|refusal| panic!("{text}: {refusal:?}"))
}

/// Flanks of 45 degrees, which no kit file offers.
fn right_angled() -> Product {
    let mut read = read(KITS[0]);
    let form = Form::symmetric(Angle::degrees(45.0), [1.0 / 6.0, 1.0 / 5.0], 0.0);
    let thread =
        |major, pitch| Thread::of_form(form, Length::mm(major), Length::mm(pitch), Hand::Right);
    read.kit.mechanism = Mechanism::Nested(Nested {
        drive: thread(24.0, 3.0),
        inner: thread(14.0, 2.25),
    });
    read.work(&|_| ()).unwrap()
}

/// A product of each, and one with flanks of 45 degrees; worked out once for all tests.
fn products() -> &'static [Product] {
    static PRODUCTS: OnceLock<Vec<Product>> = OnceLock::new();
    PRODUCTS.get_or_init(|| {
        let kits = KITS.iter().map(|text| product(text));
        kits.chain([right_angled()]).collect()
    })
}

/// What 32 bits leave of a radius, in mm.
const ROUNDING: f64 = 1e-4;

/// Radii at which a ray from the axis at an angle and a height enters or leaves a mesh, ascending.
fn met(mesh: &Mesh, angle: Angle, z: f64) -> Vec<f64> {
    let (sin, cos) = angle.sin_cos();
    // In a frame in which the ray runs along x: where each facet's stretch in the half plane passes z.
    let mut radii = Vec::new();
    for corners in mesh.facets() {
        let turned = corners.map(|p| [p.x * cos + p.y * sin, p.y * cos - p.x * sin, p.z - z]);
        let area = |a: [f64; 3], b: [f64; 3]| a[1] * b[2] - a[2] * b[1];
        let [a, b, c] = turned;
        let weights = [area(b, c), area(c, a), area(a, b)];
        let inside = weights.iter().all(|w| *w > 0.0) || weights.iter().all(|w| *w < 0.0);
        let sum: f64 = weights.iter().sum();
        if inside && sum != 0.0 {
            let r = (0..3).map(|i| weights[i] * turned[i][0]).sum::<f64>() / sum;
            if r > 0.0 {
                radii.push(r);
            }
        }
    }
    radii.sort_by(f64::total_cmp);
    radii
}

fn placed(product: &Product, piece: InstanceId) -> Mesh {
    let instance = product.design.assembly.instance(piece);
    let pose: &Pose = &instance.pose;
    product.bodies[instance.part.0].mesh().placed(pose)
}

/// Radius of a drawn outline at a height.
fn drawn_at(outline: &[(Length, Length)], z: f64) -> f64 {
    let mut sides = outline.windows(2);
    let side = sides.find(|side| side[0].0.as_mm() <= z && z <= side[1].0.as_mm());
    let [(z0, r0), (z1, r1)] = [side.unwrap()[0], side.unwrap()[1]];
    let share = (z - z0.as_mm()) / (z1 - z0).as_mm();
    r0.as_mm() + (r1 - r0).as_mm() * share
}

/// Both outlines of a thread joint as its sheet draws them, that of the screw first: heights in the
/// assembly at turn 0 and radii at angle 0 (towards +x). `None` of what is no thread joint with a gap.
fn drawn_outlines(product: &Product, joint: JointId) -> Option<[Vec<(Length, Length)>; 2]> {
    ThreadView::of(product, joint, Shown::Lead).map(|view| view.profiles())
}

#[test]
fn drawn_outlines_are_those_of_the_written_meshes() {
    // Off angle 0, where facets share corners; the ridges have climbed by so much there.
    let angle = Angle::turns(0.003);
    for product in products() {
        let (mut held, tolerance) = (0, product.kit.tolerance.as_mm());
        for (id, joint, threads) in product.design.assembly.thread_joints() {
            let [screw, hole] = drawn_outlines(product, id).unwrap();
            let [male, female] = joint.between.map(|piece| placed(product, piece));
            let climbed = (threads.thread.signed_lead() * angle.as_turns()).as_mm();
            let (from, to) = (screw[0].0.as_mm(), screw[screw.len() - 1].0.as_mm());
            for place in 1..40 {
                let z = from + (to - from) * f64::from(place) / 40.0;
                // From outside inwards: metal between the last two, and so on.
                let ends = |mesh: &Mesh| {
                    let radii = met(mesh, angle, z + climbed);
                    let pairs = radii.rchunks_exact(2).map(|pair| [pair[0], pair[1]]);
                    pairs.collect::<Vec<_>>()
                };
                // A chord that stands a tolerance off a flank stands so much off it along the radius.
                let off = tolerance / threads.thread.form().flank_angle().sin() + ROUNDING;
                let near = |radius: f64, drawn: f64| (radius - drawn).abs() < off;
                let (on_screw, on_hole) = (drawn_at(&screw, z), drawn_at(&hole, z));
                // A screw without a bore has metal down to the axis: one radius alone.
                let outer = met(&male, angle, z + climbed);
                let leaves = outer.last().is_some_and(|radius| near(*radius, on_screw));
                let name = format!("{} at {z}", joint.name);
                assert!(leaves, "{name}: {outer:?} for {on_screw}");
                let metal = ends(&female);
                let enters = metal.iter().any(|[from, _]| near(*from, on_hole));
                assert!(enters, "{name}: {metal:?} for {on_hole}");
                held += 1;
            }
        }
        assert!(held >= 39);
    }
}

/// Places on paper of the wide lines of a sheet, one list for each path.
fn wide_lines(svg: &str) -> Vec<Vec<[f64; 2]>> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let paths = document
        .descendants()
        .filter(|node| node.has_tag_name("path") && node.attribute("stroke-width") == Some("0.5"));
    let places = |d: &str| -> Vec<[f64; 2]> {
        let places = d.trim_start_matches('M').split('L');
        places
            .map(|place| {
                let mut numbers = place.split(' ').map(|number| number.parse().unwrap());
                [numbers.next().unwrap(), numbers.next().unwrap()]
            })
            .collect()
    };
    paths
        .map(|node| places(node.attribute("d").unwrap()))
        .collect()
}

/// Words of a sheet.
fn words(svg: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let texts = document
        .descendants()
        .filter(|node| node.has_tag_name("text"));
    texts.map(|node| node.text().unwrap().to_owned()).collect()
}

/// The scale that the title tells.
fn scale(svg: &str) -> f64 {
    let words = words(svg);
    let told = words.iter().find_map(|words| words.split("scale ").nth(1));
    let (paper, part) = told.unwrap().split_once(':').unwrap();
    paper.parse::<f64>().unwrap() / part.parse::<f64>().unwrap()
}

fn named<'a>(pictures: &'a [Picture], name: &str) -> &'a Picture {
    pictures
        .iter()
        .find(|picture| picture.name == name)
        .unwrap()
}

#[test]
fn a_sheet_is_as_large_on_paper_as_its_scale_says() {
    for product in products() {
        let sheets = sheets(product);
        for (number, (id, _, threads)) in (1..).zip(product.design.assembly.thread_joints()) {
            let svg = &named(&sheets, &format!("thread-{number}-as-drawn")).svg;
            let scale = scale(svg);
            let outlines = drawn_outlines(product, id).unwrap();
            let lines = wide_lines(svg);
            for (line, outline) in lines.iter().zip(&outlines) {
                assert_eq!(line.len(), outline.len());
                for (place, corner) in line.iter().zip(outline) {
                    let along = (corner.0 - outline[0].0).as_mm() * scale;
                    let out = (corner.1 - outline[0].1).as_mm() * scale;
                    approx::assert_abs_diff_eq!(place[0] - line[0][0], along, epsilon = 0.011);
                    approx::assert_abs_diff_eq!(line[0][1] - place[1], out, epsilon = 0.011);
                }
            }
            // Screw and hole stand as far apart as they are drawn, and pitches lie a pitch apart.
            let pitch = threads.thread.pitch().as_mm() * scale;
            let crest = lines[0]
                .iter()
                .map(|place| place[1])
                .fold(f64::INFINITY, f64::min);
            let on_crest = lines[0].iter().filter(|place| place[1] == crest);
            let starts: Vec<f64> = on_crest.map(|place| place[0]).step_by(2).collect();
            for pair in starts.windows(2) {
                approx::assert_abs_diff_eq!(pair[1] - pair[0], pitch, epsilon = 0.021);
            }
            let root = lines[1]
                .iter()
                .map(|place| place[1])
                .fold(f64::INFINITY, f64::min);
            let gap = product.design.assembly.joint(id).gap.unwrap().drawn.as_mm() * scale;
            approx::assert_abs_diff_eq!(crest - root, gap, epsilon = 0.021);
        }
    }
}

#[test]
fn the_gap_on_a_sheet_is_that_of_the_table_of_fits() {
    for product in products() {
        let sheets = sheets(product);
        for (number, (_, joint, _)) in (1..).zip(product.design.assembly.thread_joints()) {
            let called = joint
                .between
                .map(|piece| product.design.assembly.called(piece));
            let row = fits::rows(product)
                .into_iter()
                .find(|row| row.joint == called.join(" in "));
            let words = words(&named(&sheets, &format!("thread-{number}-as-drawn")).svg);
            let told = words
                .iter()
                .find(|words| words.ends_with("radial gap as drawn"));
            let value = told.unwrap().split(' ').next().unwrap();
            assert_eq!(value, row.unwrap().drawn);
        }
    }
}

#[test]
fn layers_on_a_sheet_stand_whole_layers_over_the_bed_and_end_on_the_contour_as_printed() {
    for product in products() {
        let layer = product.kit.layer.as_mm();
        for (id, joint, threads) in product.design.assembly.thread_joints() {
            let layered = product.joints[id.0].layered.as_ref().unwrap();
            let gap = joint.gap.unwrap();
            let drawn = [Length::ZERO - gap.on_male(), gap.on_female()];
            let crests = [threads.male_crest, threads.female_root];
            for member in [0, 1] {
                let piece = joint.between[member];
                let Some(layers) = layers_of(product, id, member) else {
                    continue;
                };
                assert!(layers.len() > 4);
                let foot = product.design.assembly.instance(piece).pose;
                let foot = foot.apply(nalgebra::Point3::origin()).z;
                for (z, radius) in &layers {
                    let over = (z - foot).abs() / layer - 0.5;
                    approx::assert_abs_diff_eq!(over, over.round(), epsilon = 1e-6);
                    // Printers that grow faces put the contour out of a screw, and into a hole.
                    let basic = threads
                        .thread
                        .profile_radius(Length::mm(*z) - crests[member]);
                    let off = radius - (basic + drawn[member]).as_mm();
                    let grown = match member {
                        0 => off,
                        _ => -off,
                    };
                    let both = (gap.drawn - layered.radial_gap()).as_mm();
                    assert!(grown > 0.0 && grown < both, "{grown} of {both}");
                }
            }
        }
    }
}

#[test]
fn every_picture_may_stand_in_a_page_beside_others() {
    for product in products() {
        let mut product = product.clone();
        product.kit.name = "a <b> & \"c\"\u{202e}'\u{0}".into();
        let pictures = all(&product);
        let threads = product.design.assembly.thread_joints().count();
        assert_eq!(pictures.len(), 2 * threads + 2);
        let mut names: Vec<_> = pictures.iter().map(|picture| &picture.name).collect();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), pictures.len());
        for picture in &pictures {
            let document = roxmltree::Document::parse(&picture.svg).unwrap();
            let root = document.root_element();
            assert_eq!(root.attribute("role"), Some("img"));
            assert!(!root.attribute("aria-label").unwrap().is_empty());
            let [width, height] = ["width", "height"].map(|side| root.attribute(side).unwrap());
            for (side, told) in picture.paper.into_iter().zip([width, height]) {
                let told: f64 = told.strip_suffix("mm").unwrap().parse().unwrap();
                approx::assert_abs_diff_eq!(side, told, epsilon = 0.006);
            }
            for node in document.descendants().filter(roxmltree::Node::is_element) {
                let known = ["svg", "rect", "path", "circle", "text"];
                assert!(known.contains(&node.tag_name().name()), "{node:?}");
                for attribute in node.attributes() {
                    let forbidden = ["id", "class", "style", "href", "clip-path"];
                    assert!(!forbidden.contains(&attribute.name()), "{node:?}");
                    assert!(!attribute.value().contains("NaN"), "{node:?}");
                    assert!(!attribute.value().contains("inf"), "{node:?}");
                }
            }
        }
    }
}

#[test]
fn the_same_product_gives_the_same_sheets() {
    for index in [0, 4] {
        assert_eq!(all(&products()[index]), all(&product(KITS[index])));
    }
}

#[test]
fn inches_come_first_in_an_inch_kit_and_alone_in_none() {
    let inch = &products()[4];
    let told = words(&sheets(inch)[0].svg);
    assert!(told.contains(&"P = 0.125 (3.175)".to_owned()), "{told:?}");
    assert!(told.contains(&"Ø1 (25.4)".to_owned()), "{told:?}");
    let plot = words(&motion_plot(inch).unwrap().svg);
    assert!(plot.contains(&"travel, in".to_owned()));
    let pictures = all(&products()[0]);
    let mut told = pictures.iter().flat_map(|picture| words(&picture.svg));
    assert!(!told.any(|words| words.contains(" in (")));
}

#[test]
fn the_plot_of_motion_has_a_line_for_every_rate_and_none_twice() {
    // 13 1/3 turns of 2.5 and 1.75 mm, of which 0.75 is left.
    let plot = words(&motion_plot(&products()[0]).unwrap().svg);
    for told in [
        "stroke, 13.33 turns",
        "2.5 a turn",
        "1.75 a turn",
        "0.75 a turn",
    ] {
        assert_eq!(
            plot.iter().filter(|words| *words == told).count(),
            1,
            "{told}"
        );
    }
    // In a single kit the carriage goes with the drive screw, and there is no other screw.
    let plot = words(&motion_plot(&products()[4]).unwrap().svg);
    let rates = plot.iter().filter(|words| words.ends_with("turn"));
    assert_eq!(rates.count(), 1);
}

#[test]
fn the_section_of_the_whole_is_as_long_as_its_pieces_and_shows_the_stroke() {
    for product in [&products()[0], &products()[7]] {
        let told = words(&assembly_section(product).unwrap().svg);
        let pieces = product.design.assembly.parts_in_place();
        let mut reach = [f64::INFINITY, f64::NEG_INFINITY];
        for (piece, _, _) in pieces {
            let [low, high] = placed(product, piece).bounds();
            reach = [reach[0].min(low[2]), reach[1].max(high[2])];
        }
        let long = crate::units_told::number(reach[1] - reach[0], 2);
        assert!(told.contains(&long), "{long} in {told:?}");
        let stroke = crate::units_told::number(product.design.course.stroke.as_mm(), 2);
        assert!(told.contains(&format!("stroke {stroke}")), "{told:?}");
    }
}
