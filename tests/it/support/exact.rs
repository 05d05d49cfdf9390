//! The exact surface of a coaxial solid, from the sharp triangle of its threads' form.
//!
//! A flank is the straight line r = r2 + k (P/4 - |u|), u the distance along the axis from the
//! crest's centre, r2 the radius at which ridge and groove are each P/2 wide, cut off where
//! crest and root are as wide as their flats. ISO 68-1 has k = sqrt 3, crest P/8 and root P/4, so
//! 60 degrees between flanks. Volumes follow by Simpson's rule, which is exact for them.

use super::mm;
use netlead::assembly::{Contour, ThreadForm, Turned};
use netlead::thread::{Form, Thread};
use netlead::units::{Angle, Length};
use std::f64::consts::{PI, TAU};

/// A form with 90 degrees between its flanks, its flats unlike those of any other. Made up for
/// these tests; no standard has it.
pub(crate) fn right_angled() -> Form {
    Form::symmetric(Angle::degrees(45.0), RIGHT_ANGLED.flats, 1.0 / 12.0)
}

/// A sharp triangle and what is cut off it.
struct Triangle {
    /// Rise of a flank along the radius for each mm along the axis.
    slope: f64,
    /// Widths of crest and root, in pitches.
    flats: [f64; 2],
}

const RIGHT_ANGLED: Triangle = Triangle {
    slope: 1.0,
    flats: [1.0 / 6.0, 1.0 / 5.0],
};

/// The triangle of a thread's form, written down anew.
fn triangle(thread: &Thread) -> Triangle {
    if thread.form() == right_angled() {
        return RIGHT_ANGLED;
    }
    assert!([Form::ISO, Form::UNIFIED].contains(&thread.form()));
    Triangle {
        slope: 3f64.sqrt(),
        flats: [1.0 / 8.0, 1.0 / 4.0],
    }
}

/// Radii of crest, pitch line and root of the basic profile. Along the axis a flank is as far from
/// the pitch line as half of what the flat lacks of half a pitch.
fn radii(thread: &Thread) -> [f64; 3] {
    let Triangle { slope, flats } = triangle(thread);
    let pitch = thread.pitch().as_mm();
    let [above, below] = flats.map(|flat| slope * (0.5 - flat) * pitch / 2.0);
    let crest = thread.major().as_mm() / 2.0;
    [crest, crest - above, crest - above - below]
}

/// Radius of the basic profile at a distance along the axis from a crest's centre.
pub(crate) fn profile(thread: &Thread, along: f64) -> f64 {
    let pitch = thread.pitch().as_mm();
    let u = (along - pitch * (along / pitch).round()).abs();
    let [crest, pitch_line, root] = radii(thread);
    (pitch_line + triangle(thread).slope * (pitch / 4.0 - u)).clamp(root, crest)
}

/// Volume of the overlap of a screw and its hole in each mm of engaged length, in mm3/mm: their
/// radial gap is `c`, the hole's groove stands `e` past the screw's crest.
///
/// At each z the angle runs through all of the section: (1/P) x the integral over one pitch of pi
/// (r_male^2 - r_female^2) where it is above zero, summed over thin slices.
pub(crate) fn overlap_per_length(thread: &Thread, c: f64, e: f64) -> f64 {
    const SLICES: u32 = 20_000;
    let pitch = thread.pitch().as_mm();
    let slices = (0..SLICES).map(|slice| (f64::from(slice) + 0.5) / f64::from(SLICES) * pitch);
    let areas = slices.map(|u| {
        let (male, female) = (profile(thread, u), profile(thread, u - e) + c);
        PI * (male * male - female * female).max(0.0)
    });
    areas.sum::<f64>() / f64::from(SLICES)
}

/// Radii of crest and root of a thread form, its shift included.
fn crest_and_root(form: &ThreadForm) -> (f64, f64) {
    let shift = form.shift.as_mm();
    let [crest, _, root] = radii(&form.thread);
    (crest + shift, root + shift)
}

/// Radius of the thread's own surface at an angle and a height.
pub(crate) fn thread_radius(form: &ThreadForm, angle: f64, z: f64) -> f64 {
    let rise = form.thread.signed_lead().as_mm() * angle / TAU;
    profile(&form.thread, z - form.crest.as_mm() - rise) + form.shift.as_mm()
}

/// The thread on a stretch, ends excluded.
fn form_at(contour: &Contour, z: f64) -> Option<&ThreadForm> {
    contour
        .threads
        .iter()
        .find(|zone| zone.z[0].as_mm() < z && z < zone.z[1].as_mm())
        .map(|zone| &zone.form)
}

/// Radius of the contour's lines at a height; `None` outside them.
fn line_radius(contour: &Contour, z: f64) -> Option<f64> {
    contour.corners.windows(2).find_map(|pair| {
        let [(from, low), (to, high)] = [pair[0], pair[1]].map(|(z, r)| (z.as_mm(), r.as_mm()));
        (from <= z && z <= to && to > from).then(|| low + (high - low) * (z - from) / (to - from))
    })
}

/// Radius of a contour with its threads; `None` above and below it.
pub(crate) fn radius(contour: &Contour, angle: f64, z: f64) -> Option<f64> {
    let line = line_radius(contour, z)?;
    Some(match form_at(contour, z) {
        None => line,
        Some(form) if form.external => line.min(thread_radius(form, angle, z)),
        Some(form) => line.max(thread_radius(form, angle, z)),
    })
}

/// Whether a point, given by its distances from the axis and the xy-plane and, where it is wanted,
/// its angle, lies inside a contour.
pub(crate) fn holds(contour: &Contour, rho: f64, z: f64, angle: impl Fn() -> f64) -> bool {
    // A screw stays within its contour's line and a tapped hole without, whatever the angle.
    match (line_radius(contour, z), form_at(contour, z)) {
        (None, _) => false,
        (Some(line), None) => rho < line,
        (Some(line), Some(form)) if form.external => {
            rho < line && rho < thread_radius(form, angle(), z)
        }
        (Some(line), Some(form)) => rho < line || rho < thread_radius(form, angle(), z),
    }
}

/// Area of the cross-section where the contour's line has the radius `line`.
///
/// At one height the angle runs evenly through the whole profile. So the area is
/// pi/P x the integral of r^2 over one pitch: crest, root and two flanks, on which
/// du = dr / k, each cut by the line.
fn section(form: &ThreadForm, line: f64) -> f64 {
    let pitch = form.thread.pitch().as_mm();
    let (crest, root) = crest_and_root(form);
    let Triangle { slope, flats } = triangle(&form.thread);
    let [crest_flat, root_flat] = flats.map(|flat| flat * pitch);
    let flanks = |from: f64, to: f64| 2.0 * (to * to * to - from * from * from) / (3.0 * slope);
    let width = |from: f64, to: f64| 2.0 * (to - from) / slope;
    let cut = line.clamp(root, crest);
    let squares = if form.external {
        let level = line.min(crest);
        if line <= root {
            line * line * pitch
        } else {
            root * root * root_flat
                + flanks(root, cut)
                + level * level * (crest_flat + width(cut, crest))
        }
    } else if line >= crest {
        line * line * pitch
    } else {
        let level = line.max(root);
        crest * crest * crest_flat
            + flanks(cut, crest)
            + level * level * (root_flat + width(root, cut))
    };
    PI * squares / pitch
}

/// Exact volume inside a contour.
pub(crate) fn contour_volume(contour: &Contour) -> f64 {
    contour
        .corners
        .windows(2)
        .map(|pair| {
            let [low, high] = [pair[0], pair[1]].map(|(z, r)| (z.as_mm(), r.as_mm()));
            line_volume(contour, low, high)
        })
        .sum()
}

/// Exact volume under one line of a contour: between the heights at which the line passes
/// root and crest the area is a cubic in z, for which Simpson's rule is exact.
fn line_volume(contour: &Contour, (z0, r0): (f64, f64), (z1, r1): (f64, f64)) -> f64 {
    if z1 <= z0 {
        return 0.0;
    }
    let form = form_at(contour, 0.5 * (z0 + z1));
    let mut shares = vec![0.0, 1.0];
    if let Some(form) = form {
        let (crest, root) = crest_and_root(form);
        let crossings = [crest, root].map(|r| (r - r0) / (r1 - r0));
        shares.extend(crossings.iter().filter(|s| 0.0 < **s && **s < 1.0));
        shares.sort_by(f64::total_cmp);
    }
    let area = |share: f64| {
        let line = r0 + (r1 - r0) * share;
        form.map_or(PI * line * line, |form| section(form, line))
    };
    let simpson = |a: f64, b: f64| (b - a) / 6.0 * (area(a) + 4.0 * area(0.5 * (a + b)) + area(b));
    (z1 - z0) * shares.windows(2).map(|s| simpson(s[0], s[1])).sum::<f64>()
}

/// Exact volume of a coaxial solid.
pub(crate) fn turned_volume(turned: &Turned) -> f64 {
    contour_volume(&turned.outer) - turned.bore.as_ref().map_or(0.0, contour_volume)
}

/// Distance, in the half-plane of its angle, of a point from a contour's surface, searched
/// within `reach` along the axis.
pub(crate) fn distance(contour: &Contour, angle: f64, (rho, z): (f64, f64), reach: f64) -> f64 {
    const STEPS: i32 = 40;
    let smooth = (-STEPS..=STEPS)
        .filter_map(|step| {
            let at = z + reach * f64::from(step) / f64::from(STEPS);
            Some(real_hypot(radius(contour, angle, at)? - rho, at - z))
        })
        .fold(f64::INFINITY, f64::min);
    // The level rings of steps, which no radius over z describes.
    let steps = contour
        .corners
        .windows(2)
        .filter(|pair| pair[0].0 == pair[1].0);
    let level = steps.map(|pair| {
        let (a, b) = (pair[0].1.as_mm(), pair[1].1.as_mm());
        real_hypot(rho - rho.clamp(a.min(b), a.max(b)), z - pair[0].0.as_mm())
    });
    level.fold(smooth, f64::min)
}

fn real_hypot(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// A contour from corners (z, radius) in mm.
pub(crate) fn corners(corners: &[(f64, f64)]) -> Vec<(Length, Length)> {
    corners.iter().map(|(z, r)| (mm(*z), mm(*r))).collect()
}
