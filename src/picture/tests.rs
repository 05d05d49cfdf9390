//! What a picture shows of simple bodies.

use super::arrow::turning_points;
use super::raster::NOTHING;
use super::tint::{INK_INDEX, PAPER_INDEX};
use super::*;
use crate::assembly::Pose;
use crate::solid::Mesh;
use crate::units::Length;
use nalgebra::Point3;

/// A cube of 10 mm around the origin.
fn cube() -> Mesh {
    let corner = |index: usize| {
        let side = |axis: usize| if index >> axis & 1 == 1 { 5.0 } else { -5.0 };
        Point3::new(side(0), side(1), side(2))
    };
    Mesh {
        points: (0..8).map(corner).collect(),
        triangles: vec![
            [0, 2, 1],
            [1, 2, 3],
            [4, 5, 6],
            [5, 7, 6],
            [0, 1, 4],
            [1, 5, 4],
            [2, 6, 3],
            [3, 6, 7],
            [0, 4, 2],
            [2, 4, 6],
            [1, 3, 5],
            [3, 7, 5],
        ],
    }
}

const SHEET: Sheet = Sheet {
    width: 20.0,
    height: 20.0,
    margin: 2.0,
};

fn item(surface: &Surface, z: f64, hatch: usize) -> Item<'_> {
    Item {
        surface,
        pose: Pose::shift(Length::ZERO, Length::ZERO, Length::mm(z)),
        tint: Tint::Part(0),
        hatch,
    }
}

fn from_above() -> View {
    View::from([0.0, 0.0, 1.0], [0.0, 1.0, 0.0])
}

/// Colour at a place on paper.
fn colour(canvas: &Canvas, at: [f64; 2]) -> u8 {
    canvas.colours[canvas.dot(at).expect("on the paper")]
}

#[test]
fn a_cube_is_a_square_with_an_outline_on_white_paper() {
    let surface = Surface::of(&cube());
    let canvas = Canvas::draw(
        from_above(),
        &[item(&surface, 0.0, 0)],
        None,
        SHEET,
        Reach::All(&[]),
    );
    // 10 mm of cube on 16 mm of paper.
    assert!((canvas.scale() - 1.6).abs() < 1e-9);
    assert_eq!(colour(&canvas, [1.0, 1.0]), PAPER_INDEX);
    let face = colour(&canvas, [10.0, 10.0]);
    assert!(face != PAPER_INDEX && face != INK_INDEX);
    let row = (0..240).map(|dot| colour(&canvas, [(f64::from(dot) + 0.5) / 12.0, 10.0]));
    let inked: Vec<usize> = (0..)
        .zip(row)
        .filter(|(_, c)| *c == INK_INDEX)
        .map(|(at, _)| at)
        .collect();
    assert!(
        inked
            .iter()
            .all(|at| at.abs_diff(24) < 4 || at.abs_diff(216) < 4),
        "{inked:?}"
    );
    assert!(inked.iter().any(|at| *at < 30) && inked.iter().any(|at| *at > 200));
}

#[test]
fn what_stands_behind_is_hidden_whatever_the_order() {
    let surface = Surface::of(&cube());
    for order in [[0.0, 20.0], [20.0, 0.0]] {
        let items = order.map(|z| item(&surface, z, 0));
        let canvas = Canvas::draw(from_above(), &items, None, SHEET, Reach::All(&[]));
        let hidden = order.iter().position(|z| *z == 0.0).unwrap();
        assert_eq!(canvas.anchor(hidden), None);
        let [x, y] = canvas.anchor(1 - hidden).expect("the nearer one is seen");
        assert!((x - 10.0).abs() < 1.0 && (y - 10.0).abs() < 1.0);
        assert!(canvas.shows(Point3::new(0.0, 0.0, 25.0)));
        assert!(!canvas.shows(Point3::new(0.0, 0.0, 5.0)));
    }
}

#[test]
fn a_cut_shows_the_inside_hatched_and_pieces_differ() {
    let surface = Surface::of(&cube());
    let cut = Cut {
        normal: [0.0, 0.0, 1.0],
        offset: 0.0,
    };
    let hatch_of = |hatch: usize| {
        let canvas = Canvas::draw(
            from_above(),
            &[item(&surface, 0.0, hatch)],
            Some(cut),
            SHEET,
            Reach::All(&[]),
        );
        let inside =
            |dot: &usize| canvas.buffer.facet[*dot] != NOTHING && canvas.buffer.is_cut_face(*dot);
        let cut_face: Vec<usize> = (0..canvas.colours.len()).filter(inside).collect();
        assert!(cut_face.len() > 30_000, "a square of 16 mm at 12 dots a mm");
        let colours: Vec<u8> = cut_face.iter().map(|dot| canvas.colours[*dot]).collect();
        let inked = colours
            .iter()
            .filter(|colour| **colour == INK_INDEX)
            .count();
        let share = inked as f64 / colours.len() as f64;
        assert!((0.05..0.35).contains(&share), "{share}");
        colours
    };
    let all: Vec<Vec<u8>> = (0..HATCHES).map(hatch_of).collect();
    for (index, one) in all.iter().enumerate() {
        for other in &all[index + 1..] {
            assert_ne!(one, other);
        }
    }
}

#[test]
fn an_arrow_that_goes_clockwise_does_so_for_an_eye_at_the_drive_head() {
    let surface = Surface::of(&cube());
    // The drive head is at low z: its eye looks along +z.
    let view = View::from([0.0, 0.0, -1.0], [0.0, 1.0, 0.0]);
    let canvas = Canvas::draw(
        view,
        &[item(&surface, 0.0, 0)],
        None,
        SHEET,
        Reach::All(&[]),
    );
    for clockwise in [true, false] {
        let arrow = Turn {
            z: 0.0,
            radius: 5.0,
            clockwise,
        };
        let points: Vec<[f64; 2]> = turning_points(arrow, &canvas)
            .into_iter()
            .map(|point| canvas.at(point))
            .collect();
        let centre = canvas.at(Point3::origin());
        // Paper has y down, where clockwise turns x towards y.
        let turned: f64 = points
            .windows(2)
            .map(|pair| {
                let [a, b] = [pair[0], pair[1]].map(|p| [p[0] - centre[0], p[1] - centre[1]]);
                a[0] * b[1] - a[1] * b[0]
            })
            .sum();
        assert_eq!(turned > 0.0, clockwise);
    }
}

#[test]
fn what_is_named_in_a_picture_is_text() {
    let picture = Picture::of("a", "<b onload=\"x\">&'\u{7}", [1.0, 1.0], "");
    assert!(
        picture
            .svg
            .contains("aria-label=\"&lt;b onload=&quot;x&quot;&gt;&amp;&#39; \"")
    );
}

#[test]
fn a_png_is_read_back_with_the_dots_that_went_in() {
    // Rows of an odd width, each unlike the one before, and all that a palette may number.
    let (width, height) = (37, 23);
    let dots: Vec<u8> = (0..width * height)
        .map(|dot| (dot * dot % 251) as u8)
        .collect();
    let bytes = ground::png(&dots, width, height).expect("a picture");
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::IDENTITY);
    let mut reader = decoder.read_info().expect("a PNG");
    let mut read = vec![0; reader.output_buffer_size().expect("a size")];
    let frame = reader.next_frame(&mut read).expect("its dots");
    assert_eq!([frame.width, frame.height], [width as u32, height as u32]);
    assert_eq!(frame.color_type, png::ColorType::Indexed);
    assert_eq!(read, dots);
    reader.finish().expect("nothing that is not of a PNG");
}
