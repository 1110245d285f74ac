//! How long 100,000 entries take to be read, folded and verified, beside the time that
//! `serde_json` takes to read the same bytes as plain JSON.

#![expect(clippy::unwrap_used, reason = "a benchmark may stop at the first fault")]
#![expect(clippy::disallowed_types, reason = "a benchmark measures time")]

#[path = "../../job/benches/clock/mod.rs"]
mod clock;

use clock::fastest;
use tooth_record::chain::{Head, InstallationKey, Link, Placed, Trust, verify};
use tooth_record::{Entry, EntryId, Fact, JobId, Name, Reason, Replaced, Thing, fold};

const ENTRIES: u64 = 100_000;

/// Readings, every fifth of them corrected by the next entry, now and then withdrawn.
fn entries() -> Vec<Entry> {
    let id = |count: u64| {
        EntryId::from_bytes((0x0192_0000_u128 << 96 | u128::from(count)).to_be_bytes())
    };
    let device = Name::new("tablet 2").unwrap();
    (0..ENTRIES)
        .map(|count| {
            let value = |strength: u64| {
                serde_json::json!({
                    "kind": "pull_off", "zone": "workshop", "x": "12.5", "y": "31.25",
                    "value": strength.to_string(), "unit": "psi", "detail": "substrate",
                    "instrument": "tester 1", "time": "2026-09-10T08:10", "by": "M. Adeyemi"
                })
            };
            let fact = match count % 5 {
                4 => {
                    let thing = Thing::parse(&format!("reading/R{}", count - 1)).unwrap();
                    let replaces = Replaced::new(vec![id(count - 1)]).unwrap();
                    let reason = Reason::new("typed wrongly").unwrap();
                    if count % 50 == 49 {
                        Fact::Withdrawn { thing, replaces, reason }
                    } else {
                        Fact::Corrected { thing, value: value(count % 300), replaces, reason }
                    }
                }
                _ => Fact::Stated {
                    thing: Thing::parse(&format!("reading/R{count}")).unwrap(),
                    value: value(count % 400),
                },
            };
            let time = "2026-09-10T08:10:03Z".parse().ok();
            Entry::new(id(count), Name::new("M. Adeyemi"), device.clone(), time, fact)
        })
        .collect()
}

fn main() {
    let entries = entries();
    let job = JobId::from_bytes([7; 16]);
    let received = "2026-09-10T08:11:00Z".parse().unwrap();
    let mut link = Link::start(job);
    let placed: Vec<Placed> = (1..)
        .zip(&entries)
        .map(|(place, entry)| {
            let bytes = entry.write().unwrap();
            link = link.next(place, received, &bytes);
            Placed { place, received, link, bytes }
        })
        .collect();
    let head = Head::sign(job, ENTRIES, link, received, &InstallationKey::from_bytes(&[7; 32]));
    let plain = fastest(5, || {
        let read =
            |placed: &Placed| serde_json::from_slice::<serde_json::Value>(&placed.bytes).unwrap();
        placed.iter().map(read).collect::<Vec<_>>()
    });
    let read =
        fastest(5, || placed.iter().map(|p| Entry::read(&p.bytes).unwrap()).collect::<Vec<_>>());
    let folded = fastest(5, || fold((1..).zip(&entries)));
    let verified = fastest(5, || verify(job, &placed, &[head], None, &Trust::default()));
    println!("{ENTRIES} entries, {} bytes each", placed[0].bytes.len());
    println!("serde_json, plain values  {:>8.1} ms", plain.as_secs_f64() * 1e3);
    println!("read as entries           {:>8.1} ms", read.as_secs_f64() * 1e3);
    println!("folded                    {:>8.1} ms", folded.as_secs_f64() * 1e3);
    println!("verified (and read)       {:>8.1} ms", verified.as_secs_f64() * 1e3);
    let all = read + folded;
    println!("read and folded / plain   {:>8.2}", all.as_secs_f64() / plain.as_secs_f64());
}
