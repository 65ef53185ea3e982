//! How far a reaction could run away, in words.

use crate::advice::RunawayCourse;
use crate::figure;
use crate::hazard::HeatLimit;
use crate::report::document::Detail;

pub(super) fn course(course: &RunawayCourse, detail: Detail) -> String {
    let RunawayCourse {
        record,
        uncooled,
        rise,
        class: told,
    } = course;
    let decomposes = record.heat_limit.as_ref();
    let rise = figure::rise(rise);
    // Without a temperature of decomposition a class can only be worse than it looks.
    let class = match decomposes {
        Some(_) => format!("class {}", told.class),
        None => format!("class {} at best", told.class),
    };
    let (meaning, rule) = (told.meaning, told.rule);
    match detail {
        Detail::Short => {
            let advice = told.advice;
            format!("uncooled and all at once it rises by {rise}, {class}: {advice} [{rule}]")
        }
        Detail::Full => format!(
            "{}: uncooled and all at once the reaction warms it by {rise} to {}; it boils at {}, and {}: criticality \
             {class}; {meaning} [{rule}]",
            record.vessel,
            figure::temperature(uncooled),
            figure::perhaps_estimated(&record.boiling.kelvin, record.boiling.estimate),
            decomposition(decomposes),
        ),
    }
}

fn decomposition(limit: Option<&HeatLimit>) -> String {
    match limit {
        Some(limit) => format!(
            "{} may not be heated to {:.0} °C ({})",
            limit.what,
            limit.celsius,
            limit.rule.key()
        ),
        None => "no temperature of decomposition is known for what is in it".to_owned(),
    }
}
