//! What recordings of taps say, in words.

use tooth_measure::say::{Said, both, own, said};
use tooth_sounding::{Field, Groups, HollowArea};

/// Which groups of taps there are.
#[must_use]
pub fn groups(groups: Groups) -> Said {
    match groups {
        Groups::OneSound => said!("one-group-sound"),
        Groups::OneHollow => said!("one-group-hollow"),
        Groups::Two => said!("two-groups"),
        Groups::NotEstablished => said!("groups-not-established"),
    }
}

/// Bounds of the loose area, and how far they are to be trusted.
#[must_use]
pub fn bounds(field: &Field) -> Said {
    said!("bounds-of-hollow", low = own(field.bounds.0), high = own(field.bounds.1))
}

/// Area of a patch with its bounds.
#[must_use]
pub fn area(area: &HollowArea) -> Said {
    said!(
        "area-with-bounds",
        area = both(area.area),
        low = own(area.bounds.0),
        high = own(area.bounds.1)
    )
}
