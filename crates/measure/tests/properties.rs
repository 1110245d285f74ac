//! What must hold for every value that a job can bring, in the trade's words. The
//! random inputs come from the table of valid ranges.
#![expect(clippy::unwrap_used, clippy::expect_used, reason = "tests fail loudly")]

use proptest::prelude::*;
use tooth_measure::geometry::{Direction, Rectangle};
use tooth_measure::psychrometrics::{dew_point, dew_point_margin, evaporation_rate};
use tooth_measure::range::{self, Range};
use tooth_measure::show::Show;
use tooth_measure::statistics::{self, LogNormal, Pert};
use tooth_measure::{
    Acidity, Area, AreaRate, Fraction, Length, LengthRate, Mass, MassPerArea, MoistureEmission,
    Money, Outline, Path, Point, Quantity, Region, Speed, Stress, Temperature,
    TemperatureDifference, UnitSystem, Volume, VolumePerArea, VolumeRate, WorkTime,
};

/// A share of a range, both ends included.
fn share() -> impl Strategy<Value = f64> {
    prop_oneof![8 => 0.0..=1.0f64, 1 => Just(0.0), 1 => Just(1.0)]
}

fn within<Q: Quantity>(range: &Range<Q>, share: f64) -> Q {
    Q::from_si(range.low.si() + (range.high.si() - range.low.si()) * share)
}

/// A zone's corners: a ring round a middle, star-shaped, so that it never crosses itself.
fn ring() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec(0.5..20.0f64, 3..14).prop_map(|radii| {
        let step = std::f64::consts::TAU / radii.len() as f64;
        radii
            .iter()
            .enumerate()
            .map(|(i, r)| {
                let turn = step * i as f64;
                (r * turn.cos(), r * turn.sin())
            })
            .collect()
    })
}

fn metres(x: f64, y: f64) -> Point {
    Point::new(Length::from_metres(x), Length::from_metres(y))
}

fn outline(corners: &[(f64, f64)]) -> Outline {
    let points: Vec<Point> = corners.iter().map(|&(x, y)| metres(x, y)).collect();
    Outline::new(&points).expect("a star-shaped ring never crosses itself")
}

fn turned((x, y): (f64, f64), by: f64) -> (f64, f64) {
    let (sin, cos) = by.sin_cos();
    (x * cos - y * sin, x * sin + y * cos)
}

/// Writes the value in every unit that a person may type and reads it back.
fn reads_back<Q: Quantity + std::fmt::Debug>(value: Q) -> Result<(), TestCaseError> {
    for unit in Q::UNITS {
        for symbol in unit.symbols.iter().filter(|symbol| !symbol.is_empty()) {
            // 0 and 1 of the unit tell where its scale begins and how long its step is.
            let zero = Q::parse(&format!("0 {symbol}")).unwrap().si();
            let step = Q::parse(&format!("1 {symbol}")).unwrap().si() - zero;
            let number = (value.si() - zero) / step;
            for gap in ["", " "] {
                let read = Q::parse(&format!("{number}{gap}{symbol}"))
                    .map_err(|e| TestCaseError::fail(format!("{number}{gap}{symbol}: {e}")))?;
                let slack = 1e-9 * (value.si().abs() + zero.abs() + step.abs());
                prop_assert!(
                    (read.si() - value.si()).abs() <= slack,
                    "{} {}: {:?} read as {:?}",
                    number,
                    symbol,
                    value,
                    read
                );
            }
        }
    }
    Ok(())
}

/// What is shown can be typed again, to the digits that are shown.
fn shown_can_be_typed<Q: Quantity + Show + std::fmt::Debug>(
    value: Q,
    slack: f64,
) -> Result<(), TestCaseError> {
    for system in [UnitSystem::Si, UnitSystem::UsCustomary] {
        let shown = value.show(system);
        let read = Q::parse(&shown.replace(',', ""))
            .map_err(|e| TestCaseError::fail(format!("{shown}: {e}")))?;
        prop_assert!(
            (read.si() - value.si()).abs() <= slack * value.si().abs() + 1e-9,
            "{:?} shown as {}",
            value,
            shown
        );
    }
    Ok(())
}

proptest! {
    #[test]
    fn a_quantity_written_in_any_of_its_units_reads_back_as_itself(at in share()) {
        reads_back::<Temperature>(within(&range::AIR_TEMPERATURE, at))?;
        reads_back::<Temperature>(within(&range::SURFACE_TEMPERATURE, at))?;
        reads_back::<TemperatureDifference>(within(&range::DEW_POINT_MARGIN, at))?;
        reads_back::<Fraction>(within(&range::RELATIVE_HUMIDITY, at))?;
        reads_back::<Speed>(within(&range::WIND_SPEED, at))?;
        reads_back::<Length>(within(&range::SLAB_THICKNESS, at))?;
        reads_back::<Length>(within(&range::PLAN_COORDINATE, at))?;
        reads_back::<Length>(within(&range::CRACK_WIDTH, at))?;
        reads_back::<Stress>(within(&range::PULL_OFF_STRENGTH, at))?;
        reads_back::<MoistureEmission>(within(&range::MOISTURE_EMISSION, at))?;
        reads_back::<Acidity>(within(&range::SURFACE_PH, at))?;
        reads_back::<WorkTime>(within(&range::TEST_TIME, at))?;
        reads_back::<AreaRate>(within(&range::AREA_RATE, at))?;
        reads_back::<LengthRate>(within(&range::LENGTH_RATE, at))?;
        reads_back::<VolumeRate>(within(&range::VOLUME_RATE, at))?;
        reads_back::<VolumePerArea>(within(&range::SPREAD_RATE, at))?;
        reads_back::<MassPerArea>(within(&range::SOLIDS_SPREAD, at))?;
        reads_back::<Area>(within(&range::TEST_AREA, at))?;
        reads_back::<Volume>(Volume::from_cubic_metres(at * 100.0))?;
        reads_back::<Mass>(Mass::from_kilograms(at * 10_000.0))?;
    }

    #[test]
    fn what_a_person_is_shown_can_be_typed_in_again(at in 0.001..=1.0f64) {
        // Three significant digits: at most half a step in 100.
        shown_can_be_typed::<Length>(within(&range::DISTANCE, at), 5e-3)?;
        shown_can_be_typed::<Area>(within(&range::TEST_AREA, at), 5e-3)?;
        shown_can_be_typed::<Mass>(Mass::from_kilograms(at * 1e4), 5e-3)?;
        shown_can_be_typed::<Stress>(within(&range::PULL_OFF_STRENGTH, at), 5e-3)?;
        shown_can_be_typed::<Volume>(Volume::from_cubic_metres(at), 5e-3)?;
        shown_can_be_typed::<AreaRate>(within(&range::AREA_RATE, at), 5e-3)?;
        shown_can_be_typed::<LengthRate>(within(&range::LENGTH_RATE, at), 5e-3)?;
        // Two significant digits.
        shown_can_be_typed::<Speed>(within(&range::WIND_SPEED, at), 5e-2)?;
        shown_can_be_typed::<VolumeRate>(within(&range::VOLUME_RATE, at), 5e-2)?;
        // To the tenth of a degree, in either scale.
        for system in [UnitSystem::Si, UnitSystem::UsCustomary] {
            let air: Temperature = within(&range::AIR_TEMPERATURE, at);
            let read = Temperature::parse(&air.show(system)).unwrap();
            prop_assert!((read.celsius() - air.celsius()).abs() <= 0.0500001);
        }
    }

    #[test]
    fn a_quantity_in_json_keeps_ten_digits(at in share()) {
        let air: Temperature = within(&range::AIR_TEMPERATURE, at);
        let text = serde_json::to_string(&air).unwrap();
        let read: f64 = text.parse().unwrap();
        prop_assert!((read - air.celsius()).abs() <= 1e-9 * air.celsius().abs().max(1.0));
    }

    #[test]
    fn a_value_inside_its_range_passes_and_one_outside_is_refused(at in share(), beyond in 1e-6..10.0f64) {
        let ranges = [&range::CRACK_WIDTH, &range::DEPTH, &range::DISTANCE, &range::PLAN_COORDINATE];
        for range in ranges {
            let width = range.high.si() - range.low.si();
            prop_assert!(range.check(within(range, at)).is_ok());
            prop_assert!(range.check(Length::from_si(range.high.si() + width * beyond)).is_err());
            prop_assert!(range.check(Length::from_si(range.low.si() - width * beyond)).is_err());
            prop_assert!(range.check(Length::from_si(f64::NAN)).is_err());
        }
    }

    #[test]
    fn the_dew_point_never_lies_above_the_air(at in share(), humid in 0.001..=1.0f64) {
        let air: Temperature = within(&range::AIR_TEMPERATURE, at);
        let dew = dew_point(air, Fraction::new(humid)).unwrap();
        prop_assert!(dew.celsius() <= air.celsius() + 1e-9, "{:?} above {:?}", dew, air);
        // The surface at the air's temperature is therefore never wet.
        let margin = dew_point_margin(air, Fraction::new(humid), air).unwrap();
        prop_assert!(margin.kelvins() >= -1e-9);
    }

    #[test]
    fn more_humid_air_has_a_higher_dew_point(at in share(), a in 0.001..=1.0f64, b in 0.001..=1.0f64) {
        let air: Temperature = within(&range::AIR_TEMPERATURE, at);
        let (drier, damper) = (a.min(b), a.max(b));
        prop_assume!(damper - drier > 1e-6);
        prop_assert!(dew_point(air, Fraction::new(drier)) < dew_point(air, Fraction::new(damper)));
    }

    #[test]
    fn warmer_air_of_the_same_humidity_has_a_higher_dew_point(a in share(), b in share(), humid in 0.01..=1.0f64) {
        prop_assume!((a - b).abs() > 1e-6);
        let (cooler, warmer) = (a.min(b), a.max(b));
        let dew = |at| dew_point(within(&range::AIR_TEMPERATURE, at), Fraction::new(humid));
        prop_assert!(dew(cooler) < dew(warmer));
    }

    #[test]
    fn saturated_air_is_at_its_dew_point(at in share()) {
        let air: Temperature = within(&range::AIR_TEMPERATURE, at);
        let dew = dew_point(air, Fraction::ONE).unwrap();
        prop_assert!((dew.celsius() - air.celsius()).abs() < 1e-9);
        prop_assert!(dew_point(air, Fraction::ZERO).is_none());
    }

    #[test]
    fn wind_dries_a_wet_slab_faster_and_damp_air_slower(
        concrete in 0.0..50.0f64, air in 0.0..50.0f64, humid in 0.0..=0.9f64, more in 0.01..=0.1f64,
        a in share(), b in share(),
    ) {
        let rate = |humid, at| evaporation_rate(
            Temperature::from_celsius(concrete), Temperature::from_celsius(air), Fraction::new(humid),
            within(&range::WIND_SPEED, at),
        );
        let (calm, windy) = (a.min(b), a.max(b));
        prop_assume!(windy - calm > 1e-6);
        // Where water condenses, wind brings more of it: the sign stays, the size grows.
        let still = rate(humid, calm).kilograms_per_square_metre_hour();
        let blown = rate(humid, windy).kilograms_per_square_metre_hour();
        prop_assert!(blown.abs() >= still.abs() && blown * still >= 0.0);
        if still > 0.0 {
            prop_assert!(blown > still);
        }
        prop_assert!(rate(humid + more, calm) < rate(humid, calm));
    }

    #[test]
    fn pert_quantiles_rise_and_stay_between_least_and_greatest(
        low in -1e4..1e4f64, up in 0.0..1e4f64, more in 0.0..1e4f64, a in share(), b in share(),
    ) {
        let (likely, high) = (low + up, low + up + more);
        let pert = Pert::new(low, likely, high).unwrap();
        let at = |p| pert.quantile(Fraction::new(p));
        let slack = 1e-9 * (high - low).max(1.0);
        let (p, q) = (a.min(b), a.max(b));
        prop_assert!(at(p) <= at(q) + slack);
        prop_assert!(at(p) >= low - slack && at(q) <= high + slack);
        prop_assert!(pert.mean() >= low - slack && pert.mean() <= high + slack);
        prop_assert!(pert.standard_deviation() <= (high - low) / 2.0 + slack);
    }

    #[test]
    fn the_pert_quantile_of_a_share_is_exceeded_by_the_rest(low in 0.0..10.0f64, up in 0.1..10.0f64, more in 0.1..10.0f64) {
        // The mean of evenly spaced quantiles is the mean of the distribution.
        let pert = Pert::new(low, low + up, low + up + more).unwrap();
        let n = 400;
        let sum: f64 = (0..n).map(|i| pert.quantile(Fraction::new((f64::from(i) + 0.5) / f64::from(n)))).sum();
        prop_assert!((sum / f64::from(n) - pert.mean()).abs() < 2e-3 * (up + more));
    }

    #[test]
    fn lognormal_quantiles_rise_and_the_median_halves_the_draws(median in 0.01..100.0f64, sigma in 0.0..1.5f64, a in 0.001..0.999f64, b in 0.001..0.999f64) {
        let shape = LogNormal::from_median(median, sigma).unwrap();
        let at = |p| shape.quantile(Fraction::new(p));
        let slack = 1e-9 * median;
        prop_assert!(at(a.min(b)) <= at(a.max(b)) + slack);
        prop_assert!((at(0.5) - median).abs() < 1e-6 * median);
        prop_assert!(shape.mean() >= shape.median() - slack && at(a) > 0.0);
    }

    #[test]
    fn quantiles_of_a_sample_rise_and_stay_inside_it(mut values in prop::collection::vec(-1e6..1e6f64, 1..40), a in share(), b in share()) {
        values.sort_by(f64::total_cmp);
        let sorted: Vec<Money> = values.iter().map(|v| Money::new(*v)).collect();
        let at = |p| statistics::quantile(&sorted, Fraction::new(p)).unwrap();
        prop_assert!(at(a.min(b)) <= at(a.max(b)) + Money::new(1e-6));
        prop_assert!(at(a) >= sorted[0] - Money::new(1e-6));
        prop_assert!(at(b) <= sorted[sorted.len() - 1] + Money::new(1e-6));
    }

    #[test]
    fn rank_correlation_does_not_see_units(pairs in prop::collection::vec((-100.0..100.0f64, -100.0..100.0f64), 2..30)) {
        let (x, y): (Vec<f64>, Vec<f64>) = pairs.into_iter().unzip();
        let same = statistics::rank_correlation(&x, &y);
        prop_assert!((-1.0 - 1e-9..=1.0 + 1e-9).contains(&same));
        let scaled: Vec<f64> = x.iter().map(|v| v.mul_add(3.0, 7.0)).collect();
        prop_assert!((statistics::rank_correlation(&scaled, &y) - same).abs() < 1e-9);
        let turned: Vec<f64> = y.iter().map(|v| -v).collect();
        prop_assert!((statistics::rank_correlation(&x, &turned) + same).abs() < 1e-9);
    }

    #[test]
    fn the_area_of_a_zone_does_not_depend_on_where_and_how_it_is_drawn(
        corners in ring(), dx in -500.0..500.0f64, dy in -500.0..500.0f64, turn in 0.0..6.3f64, first in 0usize..14,
    ) {
        let zone = outline(&corners);
        let (area, perimeter) = (zone.area(), zone.perimeter());
        let mut drawn: Vec<(f64, f64)> = corners.iter().map(|c| turned(*c, turn)).map(|(x, y)| (x + dx, y + dy)).collect();
        let length = drawn.len();
        drawn.rotate_left(first % length);
        for reversed in [false, true] {
            if reversed {
                drawn.reverse();
            }
            let other = outline(&drawn);
            prop_assert!((other.area() / area - 1.0).abs() < 1e-7);
            prop_assert!((other.perimeter() / perimeter - 1.0).abs() < 1e-7);
        }
    }

    #[test]
    fn a_zone_holds_its_own_label(corners in ring()) {
        let zone = outline(&corners);
        prop_assert!(zone.holds(zone.label_place()));
    }

    #[test]
    fn a_cut_through_a_zone_loses_no_area(corners in ring(), at in -20.0..20.0f64) {
        let zone = outline(&corners).region();
        let west = Outline::rectangle(metres(-50.0, -50.0), metres(at, 50.0)).unwrap().region();
        let parts = zone.intersection(&west).area() + zone.difference(&west).area();
        // The set operations snap corners to a grid of some tenths of a micrometre on a
        // plan of a hundred metres: less than a square centimetre in all.
        prop_assert!((parts - zone.area()).square_metres().abs() < 1e-4);
        prop_assert!((zone.union(&west).area() + zone.intersection(&west).area()
            - zone.area() - west.area()).square_metres().abs() < 1e-4);
    }

    #[test]
    fn the_band_along_a_wall_is_never_larger_than_the_zone_and_grows_with_reach(
        corners in ring(), a in 0.001..3.0f64, b in 0.001..3.0f64,
    ) {
        let zone = outline(&corners);
        let mut walls = zone.corners();
        walls.push(walls[0]);
        let wall = Path::new(&walls).unwrap();
        let band = |reach| Region::along(&wall, Length::from_metres(reach)).intersection(&zone.region()).area();
        let slack = Area::from_square_metres(1e-5);
        prop_assert!(band(a.min(b)) <= band(a.max(b)) + slack);
        prop_assert!(band(a.max(b)) <= zone.area() + slack);
    }

    #[test]
    fn a_line_shared_by_two_zones_is_priced_once(x in 1.0..9.0f64, slant in -0.9..0.9f64, from in 0.0..2.5f64, to in 2.6..5.0f64) {
        // Two zones of a 10 × 5 m room with a border that may slant.
        let at = |y: f64| x + slant * (y - 2.5) / 2.5;
        let west = outline(&[(0.0, 0.0), (at(0.0), 0.0), (at(5.0), 5.0), (0.0, 5.0)]);
        let east = outline(&[(at(0.0), 0.0), (10.0, 0.0), (10.0, 5.0), (at(5.0), 5.0)]);
        let joint = Path::new(&[metres(at(from), from), metres(at(to), to)]).unwrap();
        let ((a, on_a), (b, on_b)) = (joint.length_in_and_on(&west), joint.length_in_and_on(&east));
        let both = a + b + (on_a + on_b) / 2.0;
        prop_assert!((both - joint.length()).metres().abs() < 2e-3, "{:?} of {:?}", both, joint.length());
    }

    #[test]
    fn a_patch_squared_up_holds_the_damage_and_is_no_smaller_than_the_rule(
        corners in ring(), turn in 0.0..6.3f64, margin in 0.0..0.2f64, length in 0.1..1.0f64, width in 0.05..0.1f64,
    ) {
        let damage = outline(&corners);
        let slab = outline(&[(0.0, 0.0), (9.0, 0.0), (9.0, 1.0), (0.0, 1.0)].map(|c| turned(c, turn)));
        let metre = Length::from_metres;
        let tight = damage.squared_up(slab.main_direction());
        let patch = tight.grown(metre(margin), metre(length), metre(width));
        let slack = metre(1e-9);
        prop_assert!(patch.length() + slack >= metre(length) && patch.width() + slack >= metre(width));
        prop_assert!(patch.length() + slack >= tight.length() + metre(2.0 * margin));
        prop_assert!(patch.area() + Area::from_square_metres(1e-9) >= damage.area());
        let sawn = Outline::new(&patch.corners()).unwrap().region().within(metre(1e-6));
        for corner in damage.corners() {
            prop_assert!(sawn.holds(corner));
        }
    }

    #[test]
    fn joined_patches_hold_both(a in ring(), b in ring(), apart in 0.0..60.0f64) {
        let one = outline(&a);
        let moved: Vec<(f64, f64)> = b.iter().map(|(x, y)| (x + apart, y + apart)).collect();
        let other = outline(&moved);
        let (p, q) = (one.squared_up(Direction::EAST), other.squared_up(Direction::EAST));
        let joined = p.joined(&q);
        let around = Rectangle::around(&[&one, &other], Direction::EAST).unwrap();
        prop_assert!((joined.area() - around.area()).square_metres().abs() < 1e-9);
        prop_assert!(joined.area() + Area::from_square_metres(1e-9) >= p.area().max(q.area()));
        prop_assert!((p.gap(&q) - q.gap(&p)).metres().abs() < 1e-12);
    }

    #[test]
    fn a_ring_that_crosses_itself_is_refused(x in 1.0..10.0f64, y in 1.0..10.0f64, dx in -0.4..0.4f64) {
        let bow = [metres(dx, 0.0), metres(x, y), metres(x, 0.0), metres(0.0, y)];
        prop_assert!(Outline::new(&bow).is_err());
    }
}

/// An absolute temperature is no sum: 20 °C and 5 °C are not 25 °C.
#[test]
fn two_temperatures_do_not_add_up() {
    for text in ["20 C 5 C", "3 C 70 F", "70 F 3 C"] {
        assert!(Temperature::parse(text).is_err(), "{text}");
    }
    assert!(Acidity::parse("7 pH 2 pH").is_err());
}
