//! Pieces to be broken: as thick as is said, weakest where they are to break, and strong elsewhere.

use super::{kits, of};
use netlead::coupon::{ARM, Breaking, Coupon, Extent};
use netlead::printing_time::Body;
use netlead::solid::mesh;
use netlead::strength::{Plastic, Round};
use netlead::tuning::breaking::{BENT_OVER_PULLED, BrokenKind};
use netlead::units::{Length, real};

fn set(coupon: &Coupon) -> &Breaking {
    coupon.breaking.as_ref().expect("pieces to be broken")
}

/// The least radius of the outside between foot and head, in mm: of all corners between them, since
/// none lies inside.
fn thinnest(points: &[nalgebra::Point3<f64>]) -> f64 {
    let between = points.iter().filter(|p| (12.5..30.0).contains(&p.z));
    let far = between.map(|p| real::hypot(p.x, p.y));
    far.filter(|radius| *radius > 0.1).fold(f64::MAX, f64::min)
}

#[test]
fn three_necks_and_three_bars_are_thinnest_at_the_root_that_the_form_names() {
    for kit in kits() {
        let coupon = of(&kit, Extent::Break);
        let set = set(&coupon);
        assert_eq!(set.rows.len(), 6);
        for (piece, row) in coupon.pieces.iter().zip(&set.rows) {
            assert_eq!(piece.name, row.name);
            let mesh = mesh(&piece.shape, Length::mm(0.02)).expect("a mesh");
            let radius = thinnest(&mesh.points);
            // A neck's run-outs lie 0.05 below its root, as a screw's do.
            let drawn = row.diameter.as_mm() / 2.0;
            let below = match row.kind {
                BrokenKind::Neck => 0.05,
                BrokenKind::Bar => 0.0,
            };
            approx::assert_abs_diff_eq!(radius, drawn - below, epsilon = 0.025);
        }
    }
}

#[test]
fn a_bar_is_bent_most_where_it_is_thin_and_half_as_much_in_head_and_foot() {
    // The pull stands 200 mm above the thin stretch; every section below the hook is bent by what
    // is above it. Radii at heights, from the mesh.
    for kit in kits() {
        let coupon = of(&kit, Extent::Break);
        let bar = &coupon.pieces[3];
        let mesh = mesh(&bar.shape, Length::mm(0.02)).expect("a mesh");
        let top = mesh.size()[2];
        let hook = ARM.as_mm() + 20.0;
        let at = |z: f64, outer: f64, inner: f64| {
            let round = Round {
                outer: Length::mm(outer),
                inner: Length::mm(inner),
            };
            round.bending(netlead::units::Force::newtons(1.0) * Length::mm(hook - z))
        };
        let thin = set(&coupon).rows[3].diameter.as_mm();
        let head = mesh
            .points
            .iter()
            .filter(|p| p.z > top - 10.0)
            .map(|p| real::hypot(p.x, p.y))
            .fold(0.0, f64::max);
        let weakest = at(20.0, thin, 0.0);
        let in_head = at(top - 20.0, 2.0 * head, 6.75);
        assert!(in_head * 2.0 < weakest, "{}", bar.name);
        // The foot's side, as a round bar.
        assert!(at(0.0, 18.0, 0.0) * 2.0 < weakest, "{}", bar.name);
    }
}

#[test]
fn a_hand_and_a_luggage_scale_break_what_bears_half_to_twice_its_material() {
    for kit in kits() {
        let coupon = of(&kit, Extent::Break);
        let set = set(&coupon);
        let [least, most] = set.loads.map(|load| load.as_newtons());
        // 20 kg are 196 N, and a scale that shows 10 g is good to 4 % at 2.5 N.
        assert!(least >= 2.4 && most <= 33.0, "{least} to {most}");
        let plastic = Plastic::of(*kit.0.material);
        let bar = Round::solid(set.rows[3].diameter);
        let bent = bar.bending(set.loads[1] * ARM) / (plastic.upright * BENT_OVER_PULLED);
        approx::assert_relative_eq!(bent, 2.0, max_relative = 1e-9);
        let core = set.thread.minor_internal();
        assert_eq!(set.as_thick, set.rows[0].diameter == core);
    }
}

#[test]
fn thick_and_thin_cores_are_brought_within_reach_with_their_own_pitch() {
    let made = |threads: &str| {
        let text = format!("name = \"t\"\n{threads}\nstroke = 10\n");
        let kit: netlead::kit::Kit = text.parse().expect("a kit");
        let profile = netlead::printer::Profile::untuned_for(&kit);
        let design = netlead::layout::design(&kit, &profile).expect("a design");
        of(&(kit, design, profile), Extent::Break)
    };
    // PLA bends off at 30 MPa: 5 N at 200 mm on 6.98 mm, 16 N on 10.28; M10 has a root of 8.376.
    for (threads, weakest, root) in [
        (
            "layout = \"nested\"\ndrive = \"M16x2\"\ninner = \"M8x1.25\"",
            "M8x1.25",
            6.976,
        ),
        (
            "layout = \"nested\"\ndrive = \"M20x2.5\"\ninner = \"M10x1.5\"",
            "M10x1.5",
            8.376,
        ),
        (
            "layout = \"single\"\ndrive = \"M20x2.5\"",
            "M20x2.5",
            10.282,
        ),
        ("layout = \"single\"\ndrive = \"M24x3\"", "M24x3", 10.282),
    ] {
        let coupon = made(threads);
        let set = set(&coupon);
        approx::assert_abs_diff_eq!(set.rows[0].diameter.as_mm(), root, epsilon = 2e-3);
        assert_eq!(set.as_thick, weakest == "M10x1.5");
        assert_eq!(set.thread, weakest.parse().expect("a thread"));
        let neck = mesh(&coupon.pieces[0].shape, Length::mm(0.02)).expect("a mesh");
        // Its crests stand as far out as the thread is deep.
        let thin = set.rows[0].diameter.as_mm() / 2.0;
        let crest = neck
            .points
            .iter()
            .filter(|p| (20.0..26.0).contains(&p.z))
            .map(|p| real::hypot(p.x, p.y))
            .fold(0.0, f64::max);
        approx::assert_abs_diff_eq!(crest, thin + set.thread.depth().as_mm(), epsilon = 0.03);
        let body = Body::of(&neck);
        assert!(body.size_mm[2] < 80.0);
    }
}
