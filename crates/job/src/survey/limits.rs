//! Limits that rules compare with: each a setting with its source, changed in the job's
//! `[limits]`, and each outranked by the data sheet of the system.

use tooth_measure::{Certainty, Fraction, Length, Source, WorkTime};

/// A limit and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit<Q> {
    /// The limit.
    pub value: Q,
    /// Where it comes from.
    pub source: Source,
}

impl<Q> Limit<Q> {
    const fn new(value: Q, title: &'static str, certainty: Certainty) -> Self {
        Self { value, source: Source::new(title, certainty) }
    }

    /// The same limit with the user's own value.
    #[must_use]
    pub fn changed(self, value: Option<Q>) -> Self {
        match value {
            Some(value) => {
                Self { value, source: Source::new("[limits] of this job", Certainty::DataSheet) }
            }
            None => self,
        }
    }
}

/// All of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// A crack wider than this is repaired unless the sheet says otherwise.
    pub repair_crack_width: Limit<Length>,
    /// A crack narrower than this is a hairline: nobody asks whether it moves.
    pub hairline_width: Limit<Length>,
    /// A moving crack from this width on is no joint any more: that part is replaced.
    pub replace_crack_width: Limit<Length>,
    /// A lip between panels up to this is ground off.
    pub lip_height: Limit<Length>,
    /// A drop that darkens the concrete within this time has been absorbed.
    pub absorbed_within: Limit<WorkTime>,
    /// A weak layer deeper than this is a repair to be designed.
    pub deepest_weak_layer: Limit<Length>,
    /// Share of the area that a sounding must cover to speak for all of it.
    pub sounded_share: Limit<Fraction>,
    /// Share of the slab's thickness below which a repair is one of full depth.
    pub full_depth_share: Limit<Fraction>,
    /// Hollow and broken-out share from which an overlay or replacement is compared.
    pub repair_share: Limit<Fraction>,
    /// Slowest water drop over the quickest from which a stain is called uneven.
    pub uneven_absorption: Limit<f64>,
    /// Chloride by mass of cement from which steel in the concrete is in danger.
    pub most_chloride: Limit<Fraction>,
}

impl Default for Limits {
    fn default() -> Self {
        use Certainty::{Assumption, CommonPractice, Memory, Seen};
        let millimetres = Length::from_millimetres;
        Self {
            repair_crack_width: Limit::new(
                millimetres(0.76),
                "wider than a bank card is repaired: public trade text; 0.76 mm is ISO/IEC 7810",
                CommonPractice,
            ),
            hairline_width: Limit::new(millimetres(0.3), "hairline", CommonPractice),
            replace_crack_width: Limit::new(
                millimetres(25.0),
                "very wide unstable cracks: remove and replace that area, public trade text; the width is an assumption",
                Assumption,
            ),
            lip_height: Limit::new(
                Length::from_inches(0.126),
                "grinding levels lips of 1/16 to 1/8 in: public trade text",
                Seen,
            ),
            absorbed_within: Limit::new(
                WorkTime::from_seconds(60.0),
                "ASTM F3191: a drop absorbed within 60 s",
                Seen,
            ),
            deepest_weak_layer: Limit::new(
                millimetres(20.0),
                "depth from which a weak layer is a repair",
                Assumption,
            ),
            sounded_share: Limit::new(Fraction::new(0.95), "nearly all of the area", Assumption),
            full_depth_share: Limit::new(
                Fraction::new(1.0 / 3.0),
                "FHWA, partial-depth repair page: deeper than the top third becomes full depth",
                Seen,
            ),
            repair_share: Limit::new(
                Fraction::new(0.5),
                "more than half hollow: bridge-deck practice replaces",
                Memory,
            ),
            uneven_absorption: Limit::new(
                3.0,
                "slowest drop over quickest; no published limit",
                Assumption,
            ),
            most_chloride: Limit::new(
                Fraction::from_percent(0.4),
                "0.4 % chloride by mass of cement, a usual threshold for steel",
                Memory,
            ),
        }
    }
}
