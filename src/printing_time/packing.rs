//! Pieces to beds: boxes in rows, the deepest first.
//!
//! Shelf packing, first fit by falling depth (Coffman, Garey, Johnson and Tarjan, 1980, from
//! memory): simple, the same for the same pieces, and never optimistic. Sizes in mm.

use super::Body;
use crate::units::Length;

/// Room between pieces on a bed, in mm (common practice).
pub const BETWEEN: f64 = 5.0;

/// Where a piece lies on a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Its place in the list of pieces.
    pub piece: usize,
    /// x and y of the corner of its box that is nearest to the bed's own, in mm from that.
    pub corner: [f64; 2],
    /// Whether it is turned by a quarter of a turn about z, so that its y lies along the bed's x.
    pub turned: bool,
}

/// A row of pieces along x.
struct Row {
    /// y at which it begins.
    y: f64,
    /// Of its deepest piece, which is its first.
    depth: f64,
    /// x at which the next piece begins.
    free: f64,
}

/// A bed that is being filled.
#[derive(Default)]
struct Bed {
    rows: Vec<Row>,
    places: Vec<Place>,
    /// It holds a piece that does not fit on it, and takes no other.
    closed: bool,
}

/// The beds that pieces of these sizes fill, each as places in the list; sizes along x, y and z
/// in mm. A piece that fits no bed has one of its own.
pub fn beds(sizes: &[[f64; 3]], bed: [Length; 3]) -> Vec<Vec<usize>> {
    let laid = laid(sizes, bed).into_iter();
    laid.map(|bed| bed.iter().map(|place| place.piece).collect())
        .collect()
}

/// The same with where every piece lies: all of a bed together stand in its middle.
pub fn laid(sizes: &[[f64; 3]], bed: [Length; 3]) -> Vec<Vec<Place>> {
    let [wide, deep, _] = bed.map(Length::as_mm);
    let feet: Vec<[f64; 2]> = sizes.iter().map(|size| foot(*size, [wide, deep])).collect();
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    // A stable sort: equal pieces keep their order.
    order.sort_by(|a, b| feet[*b][1].total_cmp(&feet[*a][1]));
    let mut filled: Vec<Bed> = Vec::new();
    for piece in order {
        let takes = |bed: &mut Bed| bed.takes(feet[piece], [wide, deep]);
        let found = filled
            .iter_mut()
            .find_map(|bed| takes(bed).map(|corner| (bed, corner)));
        let (bed, corner) = match found {
            Some(found) => found,
            None => {
                let mut bed = Bed::default();
                let corner = takes(&mut bed);
                bed.closed = corner.is_none();
                filled.push(bed);
                let last = filled.len() - 1;
                (&mut filled[last], corner.unwrap_or_default())
            }
        };
        bed.places.push(Place {
            piece,
            corner,
            turned: feet[piece][0] != sizes[piece][0],
        });
    }
    let centred = |bed: Bed| bed.centred(&feet, [wide, deep]);
    filled.into_iter().map(centred).collect()
}

/// Whether pieces fit on one bed beside each other. It never says yes to what does not fit.
pub fn fits_on(bodies: &[Body], bed: [Length; 3]) -> bool {
    let [wide, deep, high] = bed.map(Length::as_mm);
    let sizes: Vec<[f64; 3]> = bodies.iter().map(|body| body.size_mm).collect();
    let fits = |size: &[f64; 3]| {
        let [w, d] = foot(*size, [wide, deep]);
        w <= wide && d <= deep && size[2] <= high
    };
    sizes.iter().all(fits) && beds(&sizes, bed).len() <= 1
}

/// Width and depth of a piece as it is laid: its longer side along x, if the bed has the room.
fn foot([x, y, _]: [f64; 3], [wide, deep]: [f64; 2]) -> [f64; 2] {
    let (long, short) = (x.max(y), x.min(y));
    if long <= wide && short <= deep {
        [long, short]
    } else {
        [short, long]
    }
}

impl Bed {
    /// Puts a piece into the first row with room for it, or into a new row, and tells its corner; none
    /// where there is no room.
    fn takes(&mut self, [w, d]: [f64; 2], [wide, deep]: [f64; 2]) -> Option<[f64; 2]> {
        let has_room = |row: &&mut Row| d <= row.depth && row.free + w <= wide;
        if let Some(row) = self.rows.iter_mut().find(has_room) {
            let corner = [row.free, row.y];
            row.free += w + BETWEEN;
            return Some(corner);
        }
        let y = self
            .rows
            .last()
            .map_or(0.0, |row| row.y + row.depth + BETWEEN);
        let fits = !self.closed && w <= wide && y + d <= deep;
        fits.then(|| {
            self.rows.push(Row {
                y,
                depth: d,
                free: w + BETWEEN,
            });
            [0.0, y]
        })
    }

    /// Its places, moved so that what is left of the bed is the same on opposite sides.
    fn centred(self, feet: &[[f64; 2]], room: [f64; 2]) -> Vec<Place> {
        let reach = |axis: usize| {
            let ends = self.places.iter();
            let ends = ends.map(|place| place.corner[axis] + feet[place.piece][axis]);
            ends.fold(0.0, f64::max)
        };
        let shift = [0, 1].map(|axis| (room[axis] - reach(axis)) / 2.0);
        let moved = self.places.into_iter().map(|place| Place {
            corner: [0, 1].map(|axis| place.corner[axis] + shift[axis]),
            ..place
        });
        moved.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn body(x: f64, y: f64) -> Body {
        Body {
            volume_mm3: x * y,
            side_mm2: 2.0 * (x + y),
            flat_mm2: 2.0 * x * y,
            perimeters: None,
            size_mm: [x, y, 1.0],
        }
    }

    const BED: [Length; 3] = [Length::mm(100.0), Length::mm(100.0), Length::mm(50.0)];

    #[test]
    fn four_quarters_fill_a_bed_only_if_there_is_room_between_them() {
        let squares = |side: f64| vec![body(side, side); 4];
        assert!(fits_on(&squares(47.5), BED));
        assert!(!fits_on(&squares(47.6), BED));
        assert_eq!(beds(&[[47.6, 47.6, 1.0]; 4], BED).len(), 4);
        assert_eq!(beds(&[[47.6, 47.5, 1.0]; 4], BED).len(), 2);
    }

    #[test]
    fn a_long_piece_is_turned_before_it_is_refused() {
        let bed = [Length::mm(50.0), Length::mm(100.0), Length::mm(50.0)];
        assert!(fits_on(&[body(90.0, 20.0)], bed));
        assert!(!fits_on(&[body(101.0, 20.0)], bed));
    }

    #[test]
    fn a_piece_that_fits_no_bed_has_one_of_its_own() {
        let pieces = [[200.0, 10.0, 1.0], [10.0, 10.0, 1.0], [10.0, 10.0, 1.0]];
        assert_eq!(beds(&pieces, BED), [vec![0], vec![1, 2]]);
    }

    proptest! {
        #[test]
        fn prop_no_bed_holds_more_than_its_area_and_every_piece_lies_once(
            sides in prop::collection::vec((5.0..60.0f64, 5.0..60.0f64), 0..20)
        ) {
            let sizes: Vec<[f64; 3]> = sides.iter().map(|(x, y)| [*x, *y, 1.0]).collect();
            let filled = beds(&sizes, BED);
            let mut all: Vec<usize> = filled.iter().flatten().copied().collect();
            for bed in &filled {
                // Each piece with its share of the room between them.
                let area: f64 = bed
                    .iter()
                    .map(|i| (sizes[*i][0] + BETWEEN) * (sizes[*i][1] + BETWEEN))
                    .sum();
                prop_assert!(area <= 105.0 * 105.0 + 1e-9);
            }
            for places in laid(&sizes, BED) {
                let boxes: Vec<[[f64; 2]; 2]> = places
                    .iter()
                    .map(|place| {
                        let [x, y, _] = sizes[place.piece];
                        let foot = if place.turned { [y, x] } else { [x, y] };
                        [place.corner, [0, 1].map(|axis| place.corner[axis] + foot[axis])]
                    })
                    .collect();
                for (index, [low, high]) in boxes.iter().enumerate() {
                    for axis in [0, 1] {
                        prop_assert!(low[axis] >= -1e-9 && high[axis] <= 100.0 + 1e-9);
                    }
                    for [other_low, other_high] in &boxes[..index] {
                        let apart = [0, 1].map(|axis| {
                            (low[axis] - other_high[axis]).max(other_low[axis] - high[axis])
                        });
                        prop_assert!(apart[0].max(apart[1]) >= BETWEEN - 1e-9);
                    }
                }
            }
            all.sort_unstable();
            prop_assert_eq!(all, (0..sizes.len()).collect::<Vec<_>>());
        }
    }
}
