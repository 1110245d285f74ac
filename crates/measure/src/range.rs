//! The one table of valid ranges. A value outside is a slip of the pen or of the
//! unit (150 °C for a floor, a slab 6 m thick), so readers refuse it and say the
//! range. The same table makes the random inputs of property tests.
//!
//! Ranges are wide on purpose: they catch wrong units, they judge nothing.

use crate::quantity::{
    Acidity, Area, AreaRate, Fraction, Length, LengthRate, Mass, MassPerArea, MoistureEmission,
    Quantity, Speed, Stress, Temperature, TemperatureDifference, TimeSpan, Volume, VolumePerArea,
    VolumeRate, WorkTime,
};
use crate::say::{Said, said};

/// The values that a named figure may take, both ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range<Q> {
    /// The figure's name.
    pub name: &'static str,
    /// Least.
    pub low: Q,
    /// Greatest.
    pub high: Q,
}

impl<Q: Quantity + std::fmt::Debug> Range<Q> {
    /// The value itself when it lies inside.
    ///
    /// # Errors
    /// What was expected: `air temperature from -60 °C to 60 °C`.
    pub fn check(&self, value: Q) -> Result<Q, Said> {
        if value.si().is_finite() && value >= self.low && value <= self.high {
            Ok(value)
        } else {
            Err(self.said())
        }
    }

    /// What lies inside.
    #[must_use]
    pub fn said(&self) -> Said {
        let [low, high] = [self.low, self.high].map(|end| match Q::JSON_UNIT {
            // The one unit that is a word.
            "fraction" => said!("so-large-a-fraction", value = end.si()),
            _ => Said::Given(format!("{end:?}")),
        });
        said!("measure-from-to", measure = self.measure(), low = low, high = high)
    }

    /// The figure, as a person calls it.
    #[must_use]
    pub fn measure(&self) -> Said {
        Said::listed("Measure", self.name)
    }
}

macro_rules! ranges {
    ($($id:ident: $type:ident = $low:expr, $high:expr, $name:literal;)+) => {
        $(
            #[doc = concat!("The range of ", $name, ".")]
            pub const $id: Range<$type> = Range { name: $name, low: $low, high: $high };
        )+

        /// Name and ends of every range: for documentation and tests.
        #[must_use]
        pub fn table() -> Vec<(&'static str, Said)> {
            vec![$(($id.name, $id.said())),+]
        }
    };
}

ranges! {
    AIR_TEMPERATURE: Temperature = Temperature::from_celsius(-60.0), Temperature::from_celsius(60.0), "air temperature";
    SURFACE_TEMPERATURE: Temperature = Temperature::from_celsius(-60.0), Temperature::from_celsius(90.0), "surface temperature";
    RELATIVE_HUMIDITY: Fraction = Fraction::new(0.0), Fraction::new(1.0), "relative humidity";
    DEW_POINT_MARGIN: TemperatureDifference = TemperatureDifference::from_kelvins(0.0), TemperatureDifference::from_kelvins(20.0), "margin above dew point";
    WIND_SPEED: Speed = Speed::from_kilometres_per_hour(0.0), Speed::from_kilometres_per_hour(250.0), "wind speed";
    SLAB_THICKNESS: Length = Length::from_metres(0.02), Length::from_metres(3.0), "slab thickness";
    PLAN_COORDINATE: Length = Length::from_metres(-100_000.0), Length::from_metres(100_000.0), "plan coordinate";
    CRACK_WIDTH: Length = Length::from_metres(0.0), Length::from_metres(0.2), "crack width";
    DEPTH: Length = Length::from_metres(0.0), Length::from_metres(3.0), "depth";
    SYSTEM_THICKNESS: Length = Length::from_metres(0.0), Length::from_metres(0.3), "thickness of a system";
    DISTANCE: Length = Length::from_metres(0.0), Length::from_metres(10_000.0), "distance";
    QUICK_SIDE: Length = Length::from_metres(0.3), Length::from_metres(300.0), "side of a slab";
    QUICK_AREA: Area = Area::from_square_metres(0.5), Area::from_square_metres(20_000.0), "area of a slab";
    AREA: Area = Area::from_square_metres(0.0), Area::from_square_metres(1_000_000.0), "area";
    VOLUME: Volume = Volume::from_cubic_metres(0.0), Volume::from_cubic_metres(100_000.0), "volume";
    ELEVATION: Length = Length::from_metres(-100.0), Length::from_metres(100.0), "height";
    CHLORIDE: Fraction = Fraction::new(0.0), Fraction::new(0.1), "chloride by mass of cement";
    LANE_WIDTH: Length = Length::from_millimetres(20.0), Length::from_metres(5.0), "working width";
    MACHINE_MASS: Mass = Mass::from_kilograms(0.0), Mass::from_kilograms(100_000.0), "mass of a machine";
    DOOR_WIDTH: Length = Length::from_metres(0.3), Length::from_metres(50.0), "door width";
    PULL_OFF_STRENGTH: Stress = Stress::from_megapascals(0.0), Stress::from_megapascals(20.0), "pull-off strength";
    MOISTURE_EMISSION: MoistureEmission = MoistureEmission::from_grams_per_square_metre_day(0.0), MoistureEmission::from_grams_per_square_metre_day(500.0), "moisture emission";
    SURFACE_PH: Acidity = Acidity::from_ph(0.0), Acidity::from_ph(14.0), "pH";
    TEST_TIME: WorkTime = WorkTime::from_hours(0.0), WorkTime::from_hours(2400.0), "time";
    AREA_RATE: AreaRate = AreaRate::from_square_metres_per_hour(0.01), AreaRate::from_square_metres_per_hour(5_000.0), "area rate";
    LENGTH_RATE: LengthRate = LengthRate::from_metres_per_hour(0.01), LengthRate::from_metres_per_hour(2_000.0), "length rate";
    VOLUME_RATE: VolumeRate = VolumeRate::from_cubic_metres_per_hour(0.0001), VolumeRate::from_cubic_metres_per_hour(100.0), "volume rate";
    SPREAD_RATE: VolumePerArea = VolumePerArea::from_litres_per_square_metre(0.0), VolumePerArea::from_litres_per_square_metre(100.0), "spread rate";
    SOLIDS_SPREAD: MassPerArea = MassPerArea::from_kilograms_per_square_metre(0.0), MassPerArea::from_kilograms_per_square_metre(500.0), "mass per area";
    AREA_PER_TEST: Area = Area::from_square_metres(1.0), Area::from_square_metres(1_000_000.0), "area for a test";
    TEST_AREA: Area = Area::from_square_metres(0.0), Area::from_square_metres(1_000_000.0), "area";
    RECORDING_MOMENT: TimeSpan = TimeSpan::ZERO, TimeSpan::from_minutes(1440.0), "moment of a recording";
    TAP_PITCH: Length = Length::from_millimetres(10.0), Length::from_metres(20.0), "distance between taps";
    PATCH_DIAMETER: Length = Length::from_millimetres(10.0), Length::from_metres(2.0), "mean diameter of a sand patch";
    PATCH_VOLUME: Volume = Volume::from_litres(0.001), Volume::from_litres(2.0), "volume of a sand patch";
    TEXTURE: Length = Length::from_metres(0.0), Length::from_millimetres(100.0), "height of texture";
    SHARE: Fraction = Fraction::new(0.0), Fraction::new(1.0), "share";
    PART: Fraction = Fraction::new(0.5), Fraction::new(0.999), "share of a lot, or confidence";
    MARGIN: Fraction = Fraction::new(0.0), Fraction::new(0.9), "margin";
}
