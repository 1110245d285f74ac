//! Is the concrete old enough for what goes onto it.

use jiff::ToSpan as _;
use jiff::civil::Date;
use tooth_measure::say::{Argument, said};
use tooth_measure::{Source, WorkTime};

use crate::assessment::finding::{
    Evidence, FindingState, JobFact, Outcome, SettingOf, deciding, found,
};
use crate::assessment::look::Look;
use crate::survey::Matter;

/// Concrete that is younger than the sheet asks, or of which nobody knows the day.
pub(crate) fn age(look: &Look<'_>) -> Vec<Outcome> {
    let limit = look.limits().least_age;
    let (least, of, source) = match look.system.least_age {
        Some(least) => (least, SettingOf::System, Source::DATA_SHEET),
        None => (limit.value, SettingOf::Limits, limit.source),
    };
    // What is looked at is as old as on the day of the newest reading.
    let Some(day) = look.survey.newest_date() else { return Vec::new() };
    let slab = &look.survey.facts.slab;
    let Some(cast) = slab.cast else {
        let young = |year: i16| may_be_younger(year, day, least);
        // Old slabs are usual; where a sheet asks for an age, somebody says how old this one is.
        let asked = slab.year_cast.is_none() && look.system.least_age.is_some();
        if !asked && !slab.year_cast.is_some_and(young) {
            return Vec::new();
        }
        let test = said!("delivery-notes-of-the-concrete");
        return vec![deciding(Matter::Age, said!("the-day-the-slab-was-cast"), test, 1)];
    };
    if cast > day {
        let what = said!("cast-after-the-newest-reading", cast = cast.to_string());
        return vec![deciding(Matter::Age, what, said!("delivery-notes-of-the-concrete"), 1)];
    }
    let whole = least.days().ceil() as i64;
    let Ok(ready) = cast.checked_add(whole.days()) else { return Vec::new() };
    let old = (day - cast).get_days().max(0).unsigned_abs();
    let asked = || Argument::from(said!("so-many-days", days = whole.unsigned_abs() as u32));
    if day >= ready {
        return Vec::new();
    }
    let young = found(
        Matter::Age,
        FindingState::Decide,
        said!(
            "concrete-is-too-young",
            cast = cast.to_string(),
            old = old,
            day = day.to_string(),
            least = asked(),
            ready = ready.to_string()
        ),
        vec![Evidence::Job(JobFact::Cast)],
        source,
    );
    vec![young.by_setting(of, "least_age", asked())]
}

/// Whether concrete cast on the last day of a year may be younger than that on a day.
fn may_be_younger(year: i16, day: Date, least: WorkTime) -> bool {
    let Ok(last) = Date::new(year, 12, 31) else { return false };
    let ready = last.checked_add((least.days().ceil() as i64).days());
    ready.is_ok_and(|ready| day < ready)
}
