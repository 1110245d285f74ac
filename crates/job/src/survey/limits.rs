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

/// The source of a limit that the job changes.
const OWN: Source = Source::new("title-limits-of-this-job", Certainty::DataSheet);

impl<Q> Limit<Q> {
    const fn new(value: Q, title: &'static str, certainty: Certainty) -> Self {
        Self { value, source: Source::new(title, certainty) }
    }

    /// The same limit with the user's own value.
    #[must_use]
    pub fn changed(self, value: Option<Q>) -> Self {
        match value {
            Some(value) => Self { value, source: OWN },
            None => self,
        }
    }

    /// Where a rule comes from that compares with this limit: its own source, unless the job
    /// has set the limit.
    #[must_use]
    pub fn source_of_rule(&self, rule: Source) -> Source {
        if self.source == OWN { OWN } else { rule }
    }
}

/// All of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// A crack narrower than this is called fine.
    pub fine_crack_width: Limit<Length>,
    /// A crack wider than this is called wide.
    pub wide_crack_width: Limit<Length>,
    /// A change of a crack's width that counts as movement.
    pub crack_movement: Limit<Length>,
    /// Gauge readings less than this apart say nothing of warm and cold.
    pub gauge_interval: Limit<WorkTime>,
    /// Scaling shallower than this is called light.
    pub light_scaling: Limit<Length>,
    /// Scaling down to this is called medium, and is taken off with the weak layer.
    pub medium_scaling: Limit<Length>,
    /// Scaling down to this is called severe; deeper is very severe.
    pub severe_scaling: Limit<Length>,
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
    /// A film up to this comes off like a sealer; a thicker one like a high-build coating.
    pub thin_film: Limit<Length>,
    /// Oil that has gone in no deeper is lifted by a scrub; deeper oil is drawn out.
    pub surface_oil: Limit<Length>,
    /// Weak concrete that is taken off where nobody measured how deep it goes.
    pub unmeasured_weak_layer: Limit<Length>,
    /// A spall up to this under a thin system is filled with a mortar in the depth of its own
    /// sheet; a deeper one is cut out square.
    pub shallow_repair_depth: Limit<Length>,
    /// Coatings before this year are presumed to hold lead until a laboratory says otherwise;
    /// later ones are asked about.
    pub lead_presumed_before: Limit<i16>,
    /// Flooring, adhesives and coatings up to this year are presumed to hold asbestos.
    pub asbestos_presumed_until: Limit<i16>,
    /// Humidity in the concrete above which alkali-silica gel goes on swelling.
    pub swelling_humidity: Limit<Fraction>,
    /// Share of the area that a sounding must cover to speak for all of it.
    pub sounded_share: Limit<Fraction>,
    /// Share of the slab's thickness below which a repair is one of full depth.
    pub full_depth_share: Limit<Fraction>,
    /// Hollow and broken-out share from which an overlay or replacement is compared.
    pub repair_share: Limit<Fraction>,
    /// Slowest water drop over the quickest from which a stain is called uneven.
    pub uneven_absorption: Limit<f64>,
    /// Least age of concrete under a system whose sheet names none.
    pub least_age: Limit<WorkTime>,
    /// A filled low spot may be this deep still.
    pub low_spot_left: Limit<Length>,
    /// Whatever is cut this near to something in the slab is signed for first.
    pub clear_of_items: Limit<Length>,
    /// Chloride by mass of cement from which steel in the concrete is in danger.
    pub most_chloride: Limit<Fraction>,
}

const ACI_201_CRACKS: &str = "title-aci-201-1r-fine-below-1-mm-medium-1-to-2-mm-wide";
const ACI_201_SCALING: &str = "title-aci-201-1r-medium-5-to-10-mm-published-light";

impl Default for Limits {
    fn default() -> Self {
        use Certainty::{Assumption, CommonPractice, Memory, Seen};
        let millimetres = Length::from_millimetres;
        Self {
            fine_crack_width: Limit::new(millimetres(1.0), ACI_201_CRACKS, Seen),
            wide_crack_width: Limit::new(millimetres(2.0), ACI_201_CRACKS, Seen),
            crack_movement: Limit::new(
                millimetres(0.1),
                "title-a-change-that-a-gauge-with-a-0-1-mm-scale-surely",
                CommonPractice,
            ),
            gauge_interval: Limit::new(
                WorkTime::from_hours(24.0),
                "title-gauge-readings-a-day-apart-warm-and-cold",
                CommonPractice,
            ),
            light_scaling: Limit::new(millimetres(5.0), ACI_201_SCALING, Memory),
            medium_scaling: Limit::new(millimetres(10.0), ACI_201_SCALING, Seen),
            severe_scaling: Limit::new(millimetres(20.0), ACI_201_SCALING, Memory),
            repair_crack_width: Limit::new(
                millimetres(0.76),
                "title-wider-than-a-bank-card-is-repaired-public-trade",
                CommonPractice,
            ),
            hairline_width: Limit::new(millimetres(0.3), "title-hairline", CommonPractice),
            replace_crack_width: Limit::new(
                millimetres(25.0),
                "title-very-wide-unstable-cracks-remove-and-replace",
                Assumption,
            ),
            lip_height: Limit::new(
                Length::from_inches(0.126),
                "title-grinding-levels-lips-of-1-16-to-1-8-in-public",
                Seen,
            ),
            absorbed_within: Limit::new(
                WorkTime::from_seconds(60.0),
                "title-astm-f3191-a-drop-absorbed-within-60",
                Seen,
            ),
            deepest_weak_layer: Limit::new(
                millimetres(20.0),
                "title-depth-from-which-a-weak-layer-is-a-repair",
                Assumption,
            ),
            thin_film: Limit::new(
                Length::from_mils(10.0),
                "title-films-up-to-10-mil-come-off-in-a-pass-or-two",
                Assumption,
            ),
            surface_oil: Limit::new(
                millimetres(1.0),
                "title-a-scrub-lifts-what-lies-in-the-first-millimetre",
                Assumption,
            ),
            unmeasured_weak_layer: Limit::new(
                millimetres(2.0),
                "title-weak-layer-of-unknown-depth",
                Assumption,
            ),
            shallow_repair_depth: Limit::new(
                Length::from_inches(1.0),
                "title-polymer-mortars-of-a-quarter-inch-and-more",
                Assumption,
            ),
            lead_presumed_before: Limit::new(
                1978,
                "title-40-cfr-745-paint-before-1978-presumed-29-cfr-1926",
                Memory,
            ),
            asbestos_presumed_until: Limit::new(
                1980,
                "title-29-cfr-1926-1101-presumed-whatever-the-year",
                Memory,
            ),
            swelling_humidity: Limit::new(
                Fraction::new(0.8),
                "title-fhwa-hif-09-004-gel-goes-on-swelling",
                Memory,
            ),
            sounded_share: Limit::new(
                Fraction::new(0.95),
                "title-nearly-all-of-the-area",
                Assumption,
            ),
            full_depth_share: Limit::new(
                Fraction::new(1.0 / 3.0),
                "title-fhwa-repair-page-deeper-than-the-top-third",
                Seen,
            ),
            repair_share: Limit::new(
                Fraction::new(0.5),
                "title-more-than-half-hollow-bridge-deck-practice",
                Memory,
            ),
            uneven_absorption: Limit::new(
                3.0,
                "title-slowest-drop-over-quickest-no-published-limit",
                Assumption,
            ),
            least_age: Limit::new(
                WorkTime::from_days(28.0),
                "title-concrete-of-28-days-as-most-sheets-ask",
                CommonPractice,
            ),
            low_spot_left: Limit::new(
                Length::from_inches(0.125),
                "title-an-eighth-under-a-straightedge-after-filling",
                Assumption,
            ),
            clear_of_items: Limit::new(
                Length::from_inches(12.0),
                "title-a-foot-about-what-was-located-a-locate-is-a-hand",
                Assumption,
            ),
            most_chloride: Limit::new(
                Fraction::from_percent(0.4),
                "title-0-4-chloride-by-mass-of-cement-a-usual-threshold",
                Memory,
            ),
        }
    }
}
