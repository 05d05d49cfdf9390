//! Pieces to beds: boxes in rows, the deepest first.
//!
//! Shelf packing, first fit by falling depth (Coffman, Garey, Johnson and Tarjan, 1980, from
//! memory): simple, the same for the same pieces, and never optimistic. Sizes in mm.

use super::Body;
use crate::assembly::Slender;
use crate::printer::Profile;
use crate::units::Length;

/// Room between pieces on a bed, in mm (common practice).
pub const BETWEEN: f64 = 5.0;
/// Width of the brim that holds a slender piece to the bed, in mm (common practice).
pub const BRIM: f64 = 5.0;
/// Taller than this many widths is slender, and wants a brim (common practice: 4 to 5).
pub const SLENDER: f64 = 4.0;

/// Whether a piece of a size along x, y and z, in mm, may be knocked over without a brim.
pub fn is_slender([x, y, height]: [f64; 3]) -> bool {
    height / x.min(y) > SLENDER
}

/// A printer's bed, and how it is to be filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Along x, y, z.
    pub size: [Length; 3],
    /// Where slender pieces lie.
    pub slender: Slender,
}

impl Room {
    /// The bed of a printer.
    pub fn of(profile: &Profile) -> Self {
        Self {
            size: profile.bed,
            slender: profile.slender,
        }
    }

    /// x and y, in mm.
    fn sides(&self) -> [f64; 2] {
        let [wide, deep, _] = self.size;
        [wide.as_mm(), deep.as_mm()]
    }
}

/// Where a piece lies on a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Its place in the list of pieces.
    pub piece: usize,
    /// x and y of the corner of its box that is nearest to the bed's own, in mm from that.
    pub corner: [f64; 2],
    /// Whether it is turned by a quarter of a turn about z, so that its y lies along the bed's x.
    pub turned: bool,
    /// Room for a brim around it, in mm; 0 where it needs none or the bed has no such room.
    pub brim: f64,
}

/// What a piece takes of a bed.
#[derive(Clone, Copy)]
struct Foot {
    /// Along the bed's x and y, its brim with it.
    sides: [f64; 2],
    /// Width of its brim.
    brim: f64,
    turned: bool,
}

/// A row of pieces along x.
#[derive(Clone)]
struct Row {
    /// y at which it begins.
    y: f64,
    /// Of its deepest piece, which is its first.
    depth: f64,
    /// x at which the next piece begins.
    free: f64,
}

/// A bed that is being filled.
#[derive(Clone, Default)]
struct Bed {
    rows: Vec<Row>,
    /// Each piece with the corner of its foot.
    feet: Vec<(usize, [f64; 2])>,
    /// It holds a piece that does not fit on it, and takes no other.
    closed: bool,
}

/// The beds that pieces of these sizes fill, each as places in the list; sizes along x, y and z
/// in mm. A piece that fits no bed has one of its own.
pub fn beds(sizes: &[[f64; 3]], room: &Room) -> Vec<Vec<usize>> {
    let laid = laid(sizes, room).into_iter();
    laid.map(|bed| bed.iter().map(|place| place.piece).collect())
        .collect()
}

/// The same with where every piece lies: all of a bed together stand in its middle, as near to it
/// as rows of one width bring them. Around what is
/// slender there is room for a brim, unless the bed has none; where slender pieces lie apart, their beds
/// come last.
pub fn laid(sizes: &[[f64; 3]], room: &Room) -> Vec<Vec<Place>> {
    let feet: Vec<Foot> = sizes.iter().map(|size| foot(*size, room.sides())).collect();
    let all = 0..sizes.len();
    let groups: Vec<Vec<usize>> = match room.slender {
        Slender::Together => vec![all.collect()],
        Slender::Apart => {
            let (slender, others) = all.partition(|piece| is_slender(sizes[*piece]));
            vec![others, slender]
        }
    };
    let filled = groups.into_iter().flat_map(|pieces| {
        let alone = pieces.into_iter().map(|piece| vec![piece]);
        near(&alone.collect::<Vec<_>>(), &feet, room.sides())
    });
    filled.map(|bed| bed.centred(&feet, room.sides())).collect()
}

/// As [`laid`], but that on several beds the pieces of a set lie on one, as far as one takes them; pieces
/// without a set lie anywhere. Nothing lies apart for being slender.
pub fn laid_in_sets(sizes: &[[f64; 3]], sets: &[Option<usize>], room: &Room) -> Vec<Vec<Place>> {
    let together = Room {
        slender: Slender::Together,
        ..*room
    };
    let anyhow = laid(sizes, &together);
    if anyhow.len() <= 1 {
        return anyhow;
    }
    let feet: Vec<Foot> = sizes.iter().map(|size| foot(*size, room.sides())).collect();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (piece, set) in sets.iter().enumerate() {
        let same = |group: &&mut Vec<usize>| set.is_some() && sets[group[0]] == *set;
        match groups.iter_mut().find(same) {
            Some(group) => group.push(piece),
            None => groups.push(vec![piece]),
        }
    }
    let filled = filled(groups, &feet, room.sides()).into_iter();
    filled.map(|bed| bed.centred(&feet, room.sides())).collect()
}

/// Widths of which rows are tried, as shares of the bed's. Guess: beds are rarely half as deep as wide.
const WIDTHS: [f64; 13] = [
    0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1.0,
];

/// The beds that groups of pieces fill, no more than they have to, with rows of such a width that all lie
/// as near to the middle as they come: away from edges, where beds are coldest, and clips stand.
fn near(groups: &[Vec<usize>], feet: &[Foot], room: [f64; 2]) -> Vec<Bed> {
    let [wide, deep] = room;
    let of = |share: f64| filled(groups.to_vec(), feet, [wide * share, deep]);
    let whole = of(1.0);
    let closed = |beds: &[Bed]| beds.iter().filter(|bed| bed.closed).count();
    let narrower = WIDTHS.iter().map(|share| of(*share));
    let as_few =
        narrower.filter(|beds| beds.len() <= whole.len() && closed(beds) == closed(&whole));
    // Of equals the first, with the narrowest rows.
    let best = as_few.min_by(|a, b| across(a, feet).total_cmp(&across(b, feet)));
    best.unwrap_or(whole)
}

/// The longest diagonal of what lies on a bed, in mm.
fn across(beds: &[Bed], feet: &[Foot]) -> f64 {
    let diagonal = |bed: &Bed| {
        let [x, y] = [0, 1].map(|axis| bed.reach(axis, feet));
        (x * x + y * y).sqrt()
    };
    beds.iter().map(diagonal).fold(0.0, f64::max)
}

/// The beds that groups of pieces fill, each group on one bed if one takes it.
fn filled(mut groups: Vec<Vec<usize>>, feet: &[Foot], room: [f64; 2]) -> Vec<Bed> {
    let depth = |piece: usize| feet[piece].sides[1];
    // Stable sorts: equal pieces keep their order.
    for group in &mut groups {
        group.sort_by(|a, b| depth(*b).total_cmp(&depth(*a)));
    }
    groups.sort_by(|a, b| depth(b[0]).total_cmp(&depth(a[0])));
    let mut filled: Vec<Bed> = Vec::new();
    for group in groups {
        if filled
            .iter_mut()
            .any(|bed| bed.takes_all(&group, feet, room))
        {
            continue;
        }
        let mut new = Bed::default();
        if new.takes_all(&group, feet, room) {
            filled.push(new);
        } else if let [piece] = group[..] {
            filled.push(Bed::closed_with(piece));
        } else {
            let alone = group.iter().map(|piece| vec![*piece]);
            filled.extend(self::filled(alone.collect(), feet, room));
        }
    }
    filled
}

/// Whether pieces fit on one bed beside each other. It never says yes to what does not fit.
pub fn fits_on(bodies: &[Body], room: &Room) -> bool {
    let [wide, deep] = room.sides();
    let sizes: Vec<[f64; 3]> = bodies.iter().map(|body| body.size_mm).collect();
    let fits = |size: &[f64; 3]| {
        let [w, d] = foot(*size, [wide, deep]).sides;
        w <= wide && d <= deep && size[2] <= room.size[2].as_mm()
    };
    sizes.iter().all(fits) && beds(&sizes, room).len() <= 1
}

/// What a piece takes as it is laid: its longer side along x, if the bed has the room. A brim that the
/// bed has no room for is left out.
fn foot(size: [f64; 3], room: [f64; 2]) -> Foot {
    let [x, y, _] = size;
    let lying = |brim: f64| {
        let [x, y] = [x + 2.0 * brim, y + 2.0 * brim];
        let (long, short) = (x.max(y), x.min(y));
        let along = long <= room[0] && short <= room[1];
        let sides = if along { [long, short] } else { [short, long] };
        let turned = along != (x >= y) && x != y;
        let fits = sides[0] <= room[0] && sides[1] <= room[1];
        (
            fits,
            Foot {
                sides,
                brim,
                turned,
            },
        )
    };
    let (_, bare) = lying(0.0);
    match lying(BRIM) {
        (true, brimmed) if is_slender(size) => brimmed,
        _ => bare,
    }
}

impl Bed {
    /// Takes a group of pieces, or none of them where there is no room for one.
    fn takes_all(&mut self, group: &[usize], feet: &[Foot], room: [f64; 2]) -> bool {
        // What does not take a lone piece is as it was.
        let before = (group.len() > 1).then(|| self.clone());
        for piece in group {
            let Some(corner) = self.takes(feet[*piece].sides, room) else {
                if let Some(before) = before {
                    *self = before;
                }
                return false;
            };
            self.feet.push((*piece, corner));
        }
        true
    }

    /// One with a piece that fits no bed.
    fn closed_with(piece: usize) -> Self {
        Self {
            feet: vec![(piece, [0.0, 0.0])],
            closed: true,
            ..Self::default()
        }
    }

    /// Puts a foot into the first row with room for it, or into a new row, and tells its corner; none
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

    /// How far its pieces reach from its corner along x or y.
    fn reach(&self, axis: usize, feet: &[Foot]) -> f64 {
        let ends = self.feet.iter();
        let ends = ends.map(|(piece, corner)| corner[axis] + feet[*piece].sides[axis]);
        ends.fold(0.0, f64::max)
    }

    /// Where its pieces lie, moved so that what is left of the bed is the same on opposite sides.
    fn centred(self, feet: &[Foot], room: [f64; 2]) -> Vec<Place> {
        let shift = [0, 1].map(|axis| (room[axis] - self.reach(axis, feet)) / 2.0);
        let moved = self.feet.iter().map(|(piece, corner)| Place {
            piece: *piece,
            corner: [0, 1].map(|axis| corner[axis] + shift[axis] + feet[*piece].brim),
            turned: feet[*piece].turned,
            brim: feet[*piece].brim,
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

    const BED: Room = Room {
        size: [Length::mm(100.0), Length::mm(100.0), Length::mm(50.0)],
        slender: Slender::Together,
    };

    #[test]
    fn four_quarters_fill_a_bed_only_if_there_is_room_between_them() {
        let squares = |side: f64| vec![body(side, side); 4];
        assert!(fits_on(&squares(47.5), &BED));
        assert!(!fits_on(&squares(47.6), &BED));
        assert_eq!(beds(&[[47.6, 47.6, 1.0]; 4], &BED).len(), 4);
        assert_eq!(beds(&[[47.6, 47.5, 1.0]; 4], &BED).len(), 2);
    }

    #[test]
    fn a_long_piece_is_turned_before_it_is_refused() {
        let bed = Room {
            size: [Length::mm(50.0), Length::mm(100.0), Length::mm(50.0)],
            ..BED
        };
        assert!(fits_on(&[body(90.0, 20.0)], &bed));
        assert!(!fits_on(&[body(101.0, 20.0)], &bed));
    }

    #[test]
    fn a_piece_that_fits_no_bed_has_one_of_its_own() {
        let pieces = [[200.0, 10.0, 1.0], [10.0, 10.0, 1.0], [10.0, 10.0, 1.0]];
        assert_eq!(beds(&pieces, &BED), [vec![0], vec![1, 2]]);
    }

    #[test]
    fn a_slender_piece_has_room_for_its_brim_or_none_where_the_bed_has_none() {
        let post = [10.0, 12.0, 41.0];
        let [beside, alone] = [
            [vec![[79.0, 22.0, 9.0], post]],
            [vec![[100.0, 11.0, 401.0]]],
        ];
        let places = laid(&beside[0], &BED).concat();
        assert_eq!(places.len(), 2);
        for place in &places {
            let brim = if place.piece == 1 { BRIM } else { 0.0 };
            assert_eq!(place.brim, brim);
        }
        // Beside each other they take 79, 5 and 20 of 100: too much, so that the post has a row of its own.
        let [wide, slender] = [0, 1].map(|piece| places.iter().find(|p| p.piece == piece).unwrap());
        assert!(slender.corner[1] - wide.corner[1] >= 22.0 + BETWEEN + BRIM - 1e-9);
        // Just as tall as four times its width it wants none.
        assert_eq!(laid(&[[10.0, 12.0, 40.0]], &BED)[0][0].brim, 0.0);
        let bare = laid(&alone[0], &BED)[0][0];
        assert_eq!((bare.brim, bare.corner[0]), (0.0, 0.0));
    }

    #[test]
    fn pieces_of_a_set_lie_on_one_bed_if_one_takes_them() {
        // Two of three fill a bed: anyhow, the second set would be torn.
        let sizes = [[47.0, 90.0, 1.0]; 4];
        let sets = [Some(0), Some(1), Some(1), None];
        let beds_of = |sets: &[Option<usize>]| -> Vec<Vec<usize>> {
            let beds = laid_in_sets(&sizes, sets, &BED).into_iter();
            beds.map(|bed| bed.iter().map(|place| place.piece).collect())
                .collect()
        };
        assert_eq!(beds_of(&sets), [vec![0, 3], vec![1, 2]]);
        // A set that no bed takes is torn.
        assert_eq!(
            beds_of(&[Some(0), Some(0), Some(0), None]),
            [vec![0, 1], vec![2, 3]]
        );
    }

    #[test]
    fn slender_pieces_lie_apart_where_that_is_asked_for() {
        let pieces = [[10.0, 10.0, 9.0], [10.0, 10.0, 45.0], [10.0, 10.0, 9.0]];
        // With its brim the slender one is the deepest, and so the first.
        assert_eq!(beds(&pieces, &BED), [vec![1, 0, 2]]);
        let apart = Room {
            slender: Slender::Apart,
            ..BED
        };
        assert_eq!(beds(&pieces, &apart), [vec![0, 2], vec![1]]);
    }

    proptest! {
        #[test]
        fn prop_no_bed_holds_more_than_its_area_and_every_piece_lies_once(
            sides in prop::collection::vec((5.0..60.0f64, 5.0..60.0f64, 1.0..50.0f64), 0..20),
            apart in any::<bool>()
        ) {
            let sizes: Vec<[f64; 3]> = sides.iter().map(|(x, y, z)| [*x, *y, *z]).collect();
            let room = Room {
                slender: if apart { Slender::Apart } else { Slender::Together },
                ..BED
            };
            let filled = beds(&sizes, &room);
            let mut all: Vec<usize> = filled.iter().flatten().copied().collect();
            for bed in &filled {
                // Each piece with its share of the room between them.
                let area: f64 = bed
                    .iter()
                    .map(|i| (sizes[*i][0] + BETWEEN) * (sizes[*i][1] + BETWEEN))
                    .sum();
                prop_assert!(area <= 105.0 * 105.0 + 1e-9);
            }
            for places in laid(&sizes, &room) {
                let slender: Vec<bool> = places.iter().map(|place| is_slender(sizes[place.piece])).collect();
                // Every one of them fits with its brim, and none is mixed where that is not wanted.
                prop_assert!(places.iter().zip(&slender).all(|(place, slender)| (place.brim > 0.0) == *slender));
                prop_assert!(!apart || slender.iter().all(|one| *one == slender[0]));
                let boxes: Vec<[[f64; 2]; 2]> = places
                    .iter()
                    .map(|place| {
                        let [x, y, _] = sizes[place.piece];
                        let foot = if place.turned { [y, x] } else { [x, y] };
                        [
                            place.corner.map(|corner| corner - place.brim),
                            [0, 1].map(|axis| place.corner[axis] + foot[axis] + place.brim),
                        ]
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
