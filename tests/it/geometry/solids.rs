//! Coaxial solids: sound as written, and no further from the exact surface than asked.
//!
//! Exact radii and volumes come from `support::exact`, written anew from the sharp triangle.

use crate::support::exact::{self, corners};
use crate::support::kits::any_hand;
use crate::support::shape::{alone, here};
use crate::support::written::proved;
use crate::support::{cases, left, mm, right, thread};
use netlead::assembly::{Contour, Outline, Solid, ThreadForm, ThreadZone, Turned};
use netlead::solid::{Mesh, mesh, solid_mesh};
use netlead::thread::{Hand, Thread};
use netlead::units::{Angle, Length};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

/// What merging of near corners and of near columns may add to the chord tolerance, in mm:
/// corners nearer than 0.1 um in height and radius are one, columns nearer than 0.1 mrad too.
const MERGING: f64 = 2e-4;

fn form(thread: &Thread, shift: f64, crest: f64, external: bool) -> ThreadForm {
    ThreadForm {
        thread: thread.clone(),
        shift: mm(shift),
        crest: mm(crest),
        external,
    }
}

fn zone(from: f64, to: f64, form: ThreadForm) -> Vec<ThreadZone> {
    vec![ThreadZone {
        z: [mm(from), mm(to)],
        form,
    }]
}

fn plain(outer: Contour) -> Turned {
    Turned { outer, bore: None }
}

/// A headed screw: neck, run-out, thread, chamfer.
fn screw(thread: &Thread, length: f64, crest: f64) -> Contour {
    let (major, root) = radii(thread);
    let (neck, clear, top) = (root - 0.05, major + 1.0, 6.0 + length);
    Contour {
        corners: corners(&[
            (0.0, major + 3.0),
            (5.0, major + 3.0),
            (5.0, neck),
            (6.0, neck),
            (6.0 + clear - neck, clear),
            (top - (clear - root + 0.5), clear),
            (top, root - 0.5),
        ]),
        threads: zone(6.0, top, form(thread, 0.0, crest, true)),
    }
}

/// A cutter for a tapped hole with countersinks at both ends.
fn cutter(thread: &Thread, length: f64, crest: f64, gap: f64) -> Contour {
    let (major, root) = radii(thread);
    let (mouth, behind) = (major + gap + 0.5, root + gap - 0.5);
    let flank = mouth - behind;
    Contour {
        corners: corners(&[
            (0.0, mouth),
            (flank, behind),
            (length - flank, behind),
            (length, mouth),
        ]),
        threads: zone(0.0, length, form(thread, gap, crest, false)),
    }
}

/// A screw with a tapped bore.
fn bored(outer: &Thread, inner: &Thread, length: f64) -> Turned {
    let bore = cutter(inner, length - 10.0, 0.4, 0.25);
    let lift = |(z, r): &(Length, Length)| (*z + mm(16.0), *r);
    Turned {
        outer: screw(outer, length, 0.3),
        bore: Some(Contour {
            corners: bore.corners.iter().map(lift).collect(),
            threads: zone(16.0, length + 6.0, form(inner, 0.25, 16.4, false)),
        }),
    }
}

fn radii(thread: &Thread) -> (f64, f64) {
    (
        thread.major().as_mm() / 2.0,
        thread.minor_internal().as_mm() / 2.0,
    )
}

/// Share of the tolerance by which a crease that runs out of a thread may stray further, as
/// `SLANT_SLACK` of the library says.
const SLANT: f64 = 0.03;

/// Sorts of coaxial solids, by name.
fn sorts() -> Vec<(&'static str, Turned)> {
    let (m20, m12) = (right(20.0, 2.5), right(12.0, 1.75));
    let square = Thread::of_form(exact::right_angled(), mm(20.0), mm(2.5), Hand::Right);
    vec![
        ("right screw", plain(screw(&m20, 60.0, 0.3))),
        ("left screw", plain(screw(&left(20.0, 2.5), 60.0, -0.7))),
        ("cutter", plain(cutter(&m20, 30.0, 1.1, 0.25))),
        (
            "left cutter",
            plain(cutter(&left(16.0, 2.0), 25.0, 0.0, 0.3)),
        ),
        ("bored screw", bored(&m20, &m12, 60.0)),
        ("opposite bore", bored(&m20, &left(12.0, 1.75), 60.0)),
        ("corners among the flanks", plain(among_the_flanks(&m20))),
        ("screw of 90 degrees", plain(screw(&square, 60.0, 0.3))),
        (
            "cutter of 90 degrees",
            plain(cutter(&square, 30.0, 1.1, 0.25)),
        ),
        ("bored, 60 in 90 degrees", bored(&square, &m12, 60.0)),
    ]
}

/// A contour whose corners lie between root and crest.
fn among_the_flanks(thread: &Thread) -> Contour {
    let (major, root) = radii(thread);
    let depth = major - root;
    Contour {
        corners: corners(&[
            (0.0, root - 0.2 * depth),
            (4.0, root + 0.9 * depth),
            (9.0, root + 0.4 * depth),
            (12.0, root + 0.7 * depth),
            (16.0, root - 0.5),
            (20.0, major + 0.5),
            (27.0, root - 0.1),
        ]),
        threads: zone(0.0, 27.0, form(thread, 0.0, 0.37, true)),
    }
}

/// Area in mm2 of what is not flat across the axis.
fn curved_area(mesh: &Mesh) -> f64 {
    let area = |[a, b, c]: [nalgebra::Point3<f64>; 3]| (b - a).cross(&(c - a));
    let across = |normal: &nalgebra::Vector3<f64>| normal.z.abs() > 0.999_999 * normal.norm();
    mesh.facets()
        .map(area)
        .filter(|normal| !across(normal))
        .map(|n| n.norm() / 2.0)
        .sum()
}

#[test]
fn every_sort_of_coaxial_solid_is_sound_and_holds_its_exact_volume() {
    for (name, turned) in sorts() {
        let exact = exact::turned_volume(&turned);
        for tolerance in [0.05, 0.01] {
            let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
            let written = proved(&mesh, 0).unwrap_or_else(|e| panic!("{name}: {e}"));
            let bound = tolerance * curved_area(&mesh);
            let off = written.volume_mm3 - exact;
            assert!(
                off.abs() <= bound,
                "{name} at {tolerance}: {off} of {bound}"
            );
        }
    }
}

#[test]
fn a_thread_whose_crossings_nearly_share_an_angle_is_sound() {
    // Here two angles at which neck and run-out cross the thread lie 0.1 mrad apart. Taken
    // for one, they put corners in the wrong order, and the surface cut itself.
    let thread = right(39.766234186472005, 7.251512418444386);
    let turned = plain(screw(&thread, 57.50158281375671, 0.0));
    for tolerance in [0.05, 0.01, 0.004] {
        let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
        assert_eq!(proved(&mesh, 0).err(), None, "{tolerance}");
    }
}

#[test]
fn a_thread_that_the_contour_touches_without_crossing_loses_no_crease() {
    // Each was found by lot. In the first a corner of the crest stands as high as a corner of the
    // contour exactly half-way between two columns, and neither line of the contour owned it; in
    // the second the contour is level with the root, and the flanks were taken to miss it.
    let passing = [
        (0.0, 19.63197363382834),
        (5.84734529061554, 18.425921121790502),
        (8.954311725865736, 18.99459964218687),
        (13.900539459508835, 17.079073247263832),
        (14.353959287589928, 16.4302993082963),
        (15.353959287589928, 19.63197363382834),
    ];
    let level = [(0.0, 6.4), (0.8, 0.0), (4.0, 0.0), (5.0, 6.4)];
    let m38 = thread(38.30638971501608, 4.4227688862528804, Hand::Right);
    let m12 = thread(12.45, 1.61, Hand::Right);
    let (_, root) = radii(&m12);
    let level = level.map(|(z, r)| (z, if r == 0.0 { root } else { r }));
    for (line, thread, crest, tolerance) in [
        (
            &passing[..],
            &m38,
            -0.27117669016744606,
            0.16982798001777216,
        ),
        (&level[..], &m12, 0.0, 0.01),
    ] {
        let top = line.last().unwrap().0;
        let turned = plain(Contour {
            corners: corners(line),
            threads: zone(0.0, top, form(thread, 0.0, crest, false)),
        });
        let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
        assert_eq!(proved(&mesh, 0).err(), None, "{thread:?}");
        let found = largest_deviation(&turned, &mesh, tolerance);
        assert!(found <= tolerance + MERGING, "{thread:?}: {found}");
    }
}

#[test]
fn threads_of_long_lead_stray_no_further_than_the_tolerance() {
    // Chords alone would do for one start. Of four, facets that lead from root to crest pass the
    // flank by the lead, the more the finer they are, and creases at run-outs are spirals.
    for hand in [Hand::Right, Hand::Left] {
        let thread = thread(20.0, 2.5, hand).with_starts(4);
        for turned in [screw(&thread, 30.0, 0.3), cutter(&thread, 20.0, 1.1, 0.25)].map(plain) {
            for tolerance in [0.05, 0.01, 0.002] {
                let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
                assert_eq!(proved(&mesh, 0).err(), None, "{hand:?} at {tolerance}");
                let found = largest_deviation(&turned, &mesh, tolerance);
                let allowed = tolerance * (1.0 + SLANT) + MERGING;
                assert!(found <= allowed, "{hand:?} at {tolerance}: {found}");
                assert!(
                    found >= 0.7 * tolerance,
                    "{hand:?} at {tolerance}: only {found}"
                );
            }
        }
    }
}

#[test]
fn volume_converges_linearly_with_the_chord_tolerance() {
    // A chord's area defect goes with its sagitta, so a fifth of the tolerance leaves a fifth
    // of the error. Whole numbers of facets and the columns at critical angles, which only a
    // coarse mesh notices, widen the band to 4 to 6.
    for (name, turned) in sorts() {
        let exact = exact::turned_volume(&turned);
        let error = |tolerance: f64| {
            let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
            (mesh.volume_mm3() - exact).abs()
        };
        let errors = [0.05, 0.01, 0.002].map(error);
        for pair in errors.windows(2) {
            let ratio = pair[0] / pair[1];
            assert!(
                (4.0..6.0).contains(&ratio),
                "{name}: {errors:?}, ratio {ratio}"
            );
        }
    }
}

/// The greatest distance of points on facets from the exact surface, in mm.
fn largest_deviation(turned: &Turned, mesh: &Mesh, tolerance: f64) -> f64 {
    // Inner points, corners and sides of a facet, as shares of its corners.
    const SHARES: [[f64; 3]; 7] = [
        [0.34, 0.33, 0.33],
        [0.5, 0.5, 0.0],
        [0.5, 0.0, 0.5],
        [0.0, 0.5, 0.5],
        [0.6, 0.2, 0.2],
        [0.2, 0.6, 0.2],
        [0.2, 0.2, 0.6],
    ];
    let reach = 3.0 * tolerance;
    let mut largest = 0.0f64;
    for [a, b, c] in mesh.facets() {
        if a.z == b.z && b.z == c.z {
            // A flat cap.
            continue;
        }
        for [i, j, k] in SHARES {
            let p = a.coords * i + b.coords * j + c.coords * k;
            let angle = Angle::of_point(p.x, p.y).as_radians();
            let at = ((p.x * p.x + p.y * p.y).sqrt(), p.z);
            // The distance level with the point is no less than the least: only where it is
            // greater than what was found so far can the least be.
            let level = |contour: &Contour| {
                let radius = exact::radius(contour, angle, p.z);
                radius.map_or(f64::INFINITY, |radius| (radius - at.0).abs())
            };
            let nearest = |from: &dyn Fn(&Contour) -> f64| {
                let bore = turned.bore.as_ref().map_or(f64::INFINITY, from);
                from(&turned.outer).min(bore)
            };
            if nearest(&level) > largest {
                let from = |contour: &Contour| exact::distance(contour, angle, at, reach);
                largest = largest.max(nearest(&from));
            }
        }
    }
    largest
}

#[test]
fn no_facet_strays_further_from_the_surface_than_the_tolerance() {
    for (name, turned) in sorts() {
        for tolerance in [0.05, 0.01] {
            let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
            let found = largest_deviation(&turned, &mesh, tolerance);
            assert!(
                found <= tolerance + MERGING,
                "{name} at {tolerance}: {found}"
            );
            // A mesh far finer than asked would pass the line above for the wrong reason.
            assert!(
                found >= 0.8 * tolerance,
                "{name} at {tolerance}: only {found}"
            );
        }
    }
}

/// Tolerances over the range of the key, from the coarsest.
const TOLERANCES: [f64; 6] = [0.2, 0.1, 0.05, 0.02, 0.01, 0.002];

/// Facets of a screw's full thread over their bound.
///
/// Four strips a pitch, two facets each, with N = pi / acos(1 - t / rho) steps a turn at each
/// radius: T = 4 (N_major + N_minor) L / P (derived).
fn over_the_bound(thread: &Thread, tolerance: f64) -> f64 {
    let (low, high) = (12.0, 52.0);
    // Its head is wider: that must not cost the thread any facets.
    let shaft = screw(thread, 60.0, 0.3);
    let (crest, root) = radii(thread);
    let steps = |rho: f64| PI / Angle::from_cos(1.0 - tolerance / rho).as_radians();
    let bound = 4.0 * (steps(crest) + steps(root)) * (high - low) / thread.pitch().as_mm();
    let mesh = solid_mesh(&Solid::Turned(plain(shaft)), mm(tolerance));
    assert!(proved(&mesh, 0).is_ok(), "{thread:?} at {tolerance}");
    let middle = |[a, b, c]: [nalgebra::Point3<f64>; 3]| (a.z + b.z + c.z) / 3.0;
    let facets = mesh
        .facets()
        .map(middle)
        .filter(|z| (low..high).contains(z))
        .count();
    facets as f64 / bound
}

#[test]
fn threaded_surface_takes_at_most_a_fifth_more_facets_than_the_bound() {
    // At 0.2 mm even an M8 asks for more than the eight facets that every circle gets.
    let sizes = [
        (20.0, 2.5),
        (12.0, 1.75),
        (36.0, 4.0),
        (8.0, 1.25),
        (64.0, 3.0),
    ];
    for (major, pitch) in sizes {
        for tolerance in TOLERANCES {
            for (hand, starts) in [(Hand::Right, 1), (Hand::Left, 1), (Hand::Right, 2)] {
                let thread = Thread::free(mm(major), mm(pitch), hand).with_starts(starts);
                let share = over_the_bound(&thread, tolerance);
                assert!(
                    share <= 1.2,
                    "M{major}x{pitch}, {starts} starts, at {tolerance}: {share} of the bound"
                );
            }
        }
    }
}

#[test]
fn coarse_solids_are_sound_near_enough_and_hold_their_volume() {
    // So coarse that the columns of run-outs and countersinks end where nothing meets.
    for (name, turned) in sorts() {
        for tolerance in [0.2, 0.15, 0.1, 0.05] {
            let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
            let written = proved(&mesh, 0).unwrap();
            let off = (written.volume_mm3 - exact::turned_volume(&turned)).abs();
            assert!(
                off <= tolerance * curved_area(&mesh),
                "{name} at {tolerance}: {off}"
            );
            let found = largest_deviation(&turned, &mesh, tolerance);
            assert!(
                found <= tolerance + MERGING,
                "{name} at {tolerance}: {found}"
            );
        }
    }
}

#[test]
fn a_tapped_plate_holds_its_exact_volume() {
    // A disc 40 across and 20 thick less the thread: both in closed form.
    let tolerance = 0.01;
    let thread = right(20.0, 2.5);
    let (major, root) = radii(&thread);
    let tool = cutter(&thread, 28.0, 0.6, 0.25);
    let in_the_plate = Contour {
        corners: corners(&[(4.0, root - 0.25), (24.0, root - 0.25)]),
        threads: tool.threads.clone(),
    };
    // At every height the angle runs through the whole profile, so the cross-section of the
    // hole has the same area everywhere.
    let hole = exact::contour_volume(&in_the_plate);
    let disc = Outline::Circle { diameter: mm(40.0) };
    let mut shape = alone(Solid::Prism(vec![
        (mm(4.0), disc.clone()),
        (mm(24.0), disc),
    ]));
    shape.cut.push(here(Solid::Turned(plain(tool))));
    let written = proved(&mesh(&shape, mm(tolerance)).unwrap(), 1).unwrap();
    let exact = PI * 400.0 * 20.0 - hole;
    let curved = TAU * 20.0 * 20.0 + 20.0 * TAU * (major + root) / 2.0 * 2.0;
    assert!((written.volume_mm3 - exact).abs() <= tolerance * curved);
}

/// A thread of one to three starts whose pitch is 6 to 20 hundredths of its diameter.
fn any_thread() -> impl Strategy<Value = Thread> {
    let sizes = (6.0..40.0f64, 0.06..0.2f64);
    (sizes, any_hand(), 1..=3u8)
        .prop_map(|((d, k), hand, starts)| thread(d, d * k, hand).with_starts(starts))
}

/// A contour with corners anywhere from below the root to above the crest, exactly level with one
/// of them now and then. No step stands on a thread's stretch: no part has one there.
fn any_contour() -> impl Strategy<Value = Contour> {
    let share = prop_oneof![8 => -0.4..1.4f64, 1 => Just(0.0), 1 => Just(1.0)];
    let corner = (0.3..6.0f64, share);
    (
        any_thread(),
        prop::collection::vec(corner, 2..7),
        -4.0..4.0f64,
        any::<bool>(),
    )
        .prop_map(|(thread, spots, crest, external)| {
            let (major, root) = radii(&thread);
            let at = |share: f64| root + (major - root) * share;
            // At both ends of a thread's stretch the contour alone gives the radius.
            let end = if external { -0.2 } else { 1.2 };
            let mut z = 0.0;
            let mut line = vec![(z, at(end))];
            for (rise, share) in spots {
                z += rise;
                line.push((z, at(share)));
            }
            z += 1.0;
            line.push((z, at(end)));
            Contour {
                corners: corners(&line),
                threads: zone(0.0, z, form(&thread, 0.0, crest, external)),
            }
        })
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn prop_screws_are_sound_and_hold_their_volume(
        thread in any_thread(), length in 25.0..60.0f64, crest in -3.0..3.0f64,
        tolerance in 0.004..0.2f64
    ) {
        let turned = plain(screw(&thread, length, crest));
        let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
        let written = proved(&mesh, 0).unwrap();
        let off = (written.volume_mm3 - exact::turned_volume(&turned)).abs();
        prop_assert!(off <= tolerance * curved_area(&mesh));
    }

    #[test]
    fn prop_any_contour_is_sound_and_holds_its_volume(
        contour in any_contour(), tolerance in 0.004..0.2f64
    ) {
        let turned = plain(contour);
        let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
        let written = proved(&mesh, 0).unwrap();
        let off = (written.volume_mm3 - exact::turned_volume(&turned)).abs();
        prop_assert!(off <= tolerance * curved_area(&mesh));
    }

    #[test]
    fn prop_no_facet_strays_further_than_the_tolerance(
        contour in any_contour(), tolerance in 0.01..0.2f64
    ) {
        let turned = plain(contour);
        let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
        let found = largest_deviation(&turned, &mesh, tolerance);
        prop_assert!(found <= tolerance * (1.0 + SLANT) + MERGING, "{found} of {tolerance}");
    }

    #[test]
    fn prop_bored_screws_are_sound(
        hands in (any_hand(), any_hand()), major in 16.0..36.0f64, share in 0.4..0.65f64,
        tolerance in 0.004..0.2f64
    ) {
        let outer = thread(major, 0.11 * major, hands.0);
        let inner = thread(major * share, 0.13 * major * share, hands.1);
        let turned = bored(&outer, &inner, 50.0);
        let mesh = solid_mesh(&Solid::Turned(turned.clone()), mm(tolerance));
        let written = proved(&mesh, 0).unwrap();
        let off = (written.volume_mm3 - exact::turned_volume(&turned)).abs();
        prop_assert!(off <= tolerance * curved_area(&mesh));
    }
}
