//! Gaps of a tandem mechanism's joints.

use crate::kit;
use crate::layout::gaps::{Gaps, JointGapDrawn};
use crate::layout::square_house::HouseGaps;

/// Gaps of a tandem mechanism's joints.
pub(super) struct TandemGaps {
    pub(super) house: HouseGaps,
    /// The thin thread in the nut.
    pub(super) nut: JointGapDrawn,
}

impl TandemGaps {
    pub(super) fn new(gaps: &mut Gaps<'_>, threads: &kit::Tandem) -> Self {
        let bought = matches!(threads.nut, kit::Nut::Bought(_));
        Self {
            house: HouseGaps::new(gaps, &threads.drive, bought),
            nut: match &threads.nut {
                kit::Nut::Printed => gaps.thread("drive/nut", &threads.thin),
                kit::Nut::Bought(_) => gaps.thread_bought("drive/nut", &threads.thin),
            },
        }
    }
}
