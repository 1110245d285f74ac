//! How many tests a homogeneous area needs, by each test's own standard.

use tooth_measure::{Area, Certainty, Source};

use tooth_measure::choice::choices;

choices! {
    /// Field tests that are counted by area.
    FieldTest {
        /// ASTM F1869.
        MoistureEmission = "moisture_emission";
        /// ASTM F2170.
        InSlabHumidity = "in_slab_humidity";
        /// ASTM F3191.
        WaterDrop = "water_drop";
        /// ASTM D4262.
        SurfacePh = "surface_ph";
        /// ASTM D4263.
        PlasticSheet = "plastic_sheet";
        /// ASTM C1583.
        PullOff = "pull_off";
        /// ICRI 310.2R gives no frequency.
        ChipRating = "chip_rating";
        /// Wiped over the prepared surface.
        DarkCloth = "dark_cloth";
    }
}

impl FieldTest {
    /// Where the count comes from.
    #[must_use]
    pub fn source(self) -> Source {
        let (title, certainty) = match self {
            Self::MoistureEmission => {
                ("title-astm-f1869-11-3-for-the-first-1-000-ft", Certainty::Seen)
            }
            Self::InSlabHumidity => {
                ("title-astm-f2170-09-3-for-the-first-1-000-ft", Certainty::Seen)
            }
            Self::WaterDrop => {
                ("title-astm-f3191-3-for-the-first-2-000-ft-1-more", Certainty::Seen)
            }
            Self::SurfacePh => {
                ("title-astm-d4262-05-2012-6-2-2-for-each-500-ft-or-part", Certainty::Seen)
            }
            Self::PlasticSheet => ("title-astm-d4263-1-for-each-500-ft-or-part", Certainty::Memory),
            Self::PullOff => {
                ("title-astm-c1583-at-least-3-for-each-area-and-condition", Certainty::Memory)
            }
            Self::DarkCloth => (
                "title-3-places-for-each-area-1-more-for-each-further-5",
                Certainty::CommonPractice,
            ),
            Self::ChipRating => {
                ("title-3-places-for-each-area-by-two-people-1-more", Certainty::CommonPractice)
            }
        };
        Source::new(title, certainty)
    }
}

/// Tests needed in one homogeneous area, by each test's own standard, else by the area that a
/// specification gives for each; none for no area.
#[must_use]
pub fn test_count(test: FieldTest, area: Area, each: Area) -> u32 {
    if area <= Area::ZERO {
        return 0;
    }
    // A share of a square foot's millionth is rounding, not slab.
    let parts = |beyond: f64, each: f64| -> u32 {
        ((area.square_feet() - beyond) / each - 1e-9).ceil().max(0.0) as u32
    };
    match test {
        FieldTest::MoistureEmission | FieldTest::InSlabHumidity => 3 + parts(1000.0, 1000.0),
        FieldTest::WaterDrop => 3 + parts(2000.0, 3000.0),
        FieldTest::SurfacePh => 2 * parts(0.0, 500.0),
        FieldTest::PlasticSheet => parts(0.0, 500.0),
        FieldTest::PullOff | FieldTest::ChipRating | FieldTest::DarkCloth => {
            let each = each.square_feet();
            3 + parts(each, each)
        }
    }
}
