//! How long a device waits for its acknowledgement when many send at once. A measurement, run by
//! `cargo test -p tooth --test capture -- --ignored --nocapture`.

use std::time::{Duration, Instant};

use crate::served::{Served, fits};
use serde_json::json;

/// The tests of one device, numbered through all devices.
fn lines(first: u32, count: u32) -> String {
    let line = |number: u32| {
        json!({
            "schema": 1, "id": format!("01990000-0000-7000-8000-{number:012x}"),
            "author": "Ana Ruiz", "device": "tablet 3", "device_time": "2026-09-14T08:30:00Z",
            "fact": { "stated": { "thing": format!("reading/R{number}"), "value": {
                "kind": "water_drop", "zone": "A", "x": "3.2", "y": "4.1", "value": "12",
                "unit": "s", "time": "2026-09-14T08:30", "by": "Ana Ruiz"
            } } }
        })
        .to_string()
    };
    (first..first + count).map(line).collect::<Vec<_>>().join("\n")
}

/// Pushes, and says how long the acknowledgement took.
fn push(served: &Served, job: u32, first: u32, count: u32) -> Duration {
    let path = format!("/api/jobs/01990000-0000-7000-8000-{job:012x}/entries");
    let host = format!("Host: {}", served.address);
    let body = lines(first, count);
    let begun = Instant::now();
    let headers = [host.as_str(), "Content-Type: application/x-ndjson"];
    let answer = served.send("POST", &path, &headers, body.as_bytes());
    let took = begun.elapsed();
    assert_eq!(answer.status, 200, "{}", String::from_utf8_lossy(&answer.body));
    let answer = answer.json();
    let outcomes = answer["outcomes"].as_array().unwrap();
    assert_eq!(outcomes.len(), count as usize);
    assert!(outcomes.iter().all(|one| one["outcome"] == "placed"));
    took
}

fn share(sorted: &[Duration], of: f64) -> Duration {
    sorted[((sorted.len() - 1) as f64 * of).round() as usize]
}

fn told(what: &str, mut took: Vec<Duration>) {
    took.sort();
    let of = [0.5, 0.95, 0.99, 1.0].map(|of| share(&took, of));
    println!("{what}: {} pushes, median, 95 %, 99 %, longest: {of:?}", took.len());
}

#[test]
#[ignore = "a measurement"]
fn many_devices_push_at_once() {
    const DEVICES: u32 = 200;
    const ROUNDS: u32 = 3;
    let served = Served::start(&[]);
    // Every device one entry every ten seconds, 20 of each ten on one job.
    let took = std::thread::scope(|scope| {
        let device = |device: u32| {
            let served = &served;
            scope.spawn(move || {
                std::thread::sleep(Duration::from_millis(u64::from(device) * 50));
                let begun = Instant::now();
                let round = |round: u32| {
                    let due = Duration::from_secs(10) * round;
                    std::thread::sleep(due.saturating_sub(begun.elapsed()));
                    push(served, device % 10, device * ROUNDS + round, 1)
                };
                (0..ROUNDS).map(round).collect::<Vec<_>>()
            })
        };
        let devices: Vec<_> = (0..DEVICES).map(device).collect();
        devices.into_iter().flat_map(|device| device.join().unwrap()).collect::<Vec<_>>()
    });
    told("200 devices, 20 entries a second", took);

    for (what, jobs) in [("one job", 1), ("ten jobs", 10)] {
        let begun = Instant::now();
        let took = std::thread::scope(|scope| {
            let served = &served;
            let device = |device: u32| {
                scope.spawn(move || push(served, 100 * jobs + device % jobs, device * 400, 400))
            };
            let devices: Vec<_> = (0..50).map(device).collect();
            devices.into_iter().map(|device| device.join().unwrap()).collect::<Vec<_>>()
        });
        told(&format!("50 devices with 400 entries each at once, {what}"), took);
        println!("  all acknowledged after {:?}", begun.elapsed());
    }
    // The busiest: everybody sends one entry at the same moment, again and again.
    let begun = Instant::now();
    let took = std::thread::scope(|scope| {
        let served = &served;
        let device = |device: u32| {
            scope.spawn(move || {
                (0..10).map(|n| push(served, 5000, device * 10 + n, 1)).collect::<Vec<_>>()
            })
        };
        let devices: Vec<_> = (0..DEVICES).map(device).collect();
        devices.into_iter().flat_map(|device| device.join().unwrap()).collect::<Vec<_>>()
    });
    told("200 devices without a pause", took);
    println!("  2000 entries after {:?}", begun.elapsed());

    let things = [(5000, "2,000"), (100, "20,000")].map(|(job, tests)| {
        let path = format!("/api/jobs/01990000-0000-7000-8000-{job:012x}/things");
        let begun = Instant::now();
        let things = served.get(&path);
        println!("things of a job of {tests} tests: {:?}", begun.elapsed());
        things
    });
    let described = served.get("/api/openapi.json").json();
    let mut wrong = Vec::new();
    fits(
        &described,
        &json!({ "$ref": "#/components/schemas/Things" }),
        &things[0].json(),
        "",
        &mut wrong,
    );
    assert!(wrong.is_empty(), "{wrong:#?}");
}
