//! What is believed of a slab before it is tested, and what tests cost: settings of the job
//! (`[chances]`, `[test_costs]`), all of them assumptions until the firm says otherwise.

use tooth_measure::{Certainty, Fraction, Money, Source};

/// How likely the worse answer to each question is, before anybody has tested.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chances {
    /// A film on bare-looking concrete.
    pub film: Fraction,
    /// Oil soaked in deep.
    pub deep_oil: Fraction,
    /// Oil that comes back after cleaning.
    pub oil_back: Fraction,
    /// A weak layer of 5 mm, not of 1 mm.
    pub deep_weak_layer: Fraction,
    /// A pull-off result below the limit.
    pub weak_slab: Fraction,
    /// A slab wetter than the limit.
    pub wet: Fraction,
    /// A crack that moves.
    pub moving_crack: Fraction,
    /// A crack that leaks.
    pub leaking_crack: Fraction,
    /// A crack with one side higher.
    pub displaced_crack: Fraction,
    /// A joint that works.
    pub working_joint: Fraction,
    /// A joint with old filler.
    pub old_filler: Fraction,
    /// Hollow places in what was not sounded: a twentieth of it.
    pub hollow: Fraction,
    /// A doubtful place that is hollow.
    pub doubtful: Fraction,
    /// A hollow place that goes to an engineer.
    pub grave_hollow: Fraction,
    /// Bars at a spall.
    pub bars: Fraction,
    /// Lead or asbestos in a film that is presumed to hold it.
    pub hazardous_film: Fraction,
    /// Deterioration from inside behind pattern cracks.
    pub deterioration: Fraction,
    /// A floor rougher than the range.
    pub rough: Fraction,
    /// A slab that is an engineer's.
    pub structure: Fraction,
    /// An item that stops the cutting.
    pub item_in_the_way: Fraction,
}

impl Default for Chances {
    fn default() -> Self {
        let share = Fraction::new;
        Self {
            film: share(0.2),
            deep_oil: share(0.5),
            oil_back: share(0.3),
            deep_weak_layer: share(0.25),
            weak_slab: share(0.2),
            wet: share(0.4),
            moving_crack: share(0.4),
            leaking_crack: share(0.1),
            displaced_crack: share(0.05),
            working_joint: share(0.5),
            old_filler: share(0.5),
            hollow: share(0.3),
            doubtful: share(0.5),
            grave_hollow: share(0.2),
            bars: share(0.15),
            hazardous_film: share(0.3),
            deterioration: share(0.4),
            rough: share(0.15),
            structure: share(0.05),
            item_in_the_way: share(0.1),
        }
    }
}

impl Chances {
    /// Where they come from.
    pub const SOURCE: Source =
        Source::new("title-assumed-chances-nobody-has-published-them", Certainty::Assumption);
}

/// What one of each test costs, work included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TestCosts {
    /// A drop of water or acid, a rag, a knife, a chip rating, a straightedge, a look.
    pub simple: Money,
    /// A pull-off test.
    pub pull_off: Money,
    /// A humidity probe or an emission dish.
    pub moisture: Money,
    /// Sounding what is left of an area.
    pub sounding: Money,
    /// Opening one spot.
    pub opened_spot: Money,
    /// A crack gauge with two readings.
    pub gauge: Money,
    /// A laboratory sample of a film.
    pub laboratory: Money,
    /// A core to a petrographer.
    pub petrography: Money,
    /// A locate.
    pub locate: Money,
}

impl Default for TestCosts {
    fn default() -> Self {
        let money = Money::new;
        Self {
            simple: money(6.0),
            pull_off: money(55.0),
            moisture: money(65.0),
            sounding: money(90.0),
            opened_spot: money(70.0),
            gauge: money(40.0),
            laboratory: money(60.0),
            petrography: money(1200.0),
            locate: money(450.0),
        }
    }
}

impl TestCosts {
    /// Where the built-in amounts come from.
    pub const SOURCE: Source =
        Source::new("title-assumed-amounts-the-firm-s-own-belong-here", Certainty::Assumption);
}
