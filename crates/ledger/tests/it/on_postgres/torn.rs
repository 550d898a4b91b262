//! A server that crashes while programs record that are killed: nothing acknowledged is lost, nothing is recorded twice.

use std::collections::BTreeSet;
use std::thread;
use std::time::{Duration, Instant};

use ledger::{Filter, Ledger, Order, Page};

use crate::books::verify;
use crate::child::{Recorder, Said};
use crate::cluster::{Cluster, OWNER};
use crate::long::{Random, rounds, tell};

/// How often the server crashes in a long run.
const CRASHES: u32 = 100;
/// How many programs record at any time.
const RECORDERS: usize = 20;

#[test]
fn nothing_acknowledged_is_lost_or_doubled_when_the_server_crashes() {
    let begun = Instant::now();
    let cluster = Cluster::start("");
    let name = cluster.empty_database();
    let path = cluster.address(OWNER, &name);
    Ledger::prepare_server(&path, &[]).unwrap();
    let mut moment = Random(23);
    let mut started = 0;
    let mut start = || {
        started += 1;
        Recorder::start_with_jobs(&path, &format!("mic-{started}"))
    };
    let mut recorders: Vec<Recorder> = (0..RECORDERS).map(|_| start()).collect();
    recorders.iter_mut().for_each(Recorder::wait_until_ready);
    let mut said = Said::default();
    let mut keep = |recorder: Recorder| {
        let more = recorder.finish_with_jobs().0;
        said.entries.extend(more.entries);
        said.jobs.extend(more.jobs);
    };
    let mut killed = 0;
    for _ in 0..rounds(CRASHES) {
        thread::sleep(Duration::from_millis(50 + moment.below(400) as u64));
        // Somebody's program is killed, now before the crash and now while the server is away.
        let mut gone = recorders.remove(moment.below(RECORDERS));
        let before = moment.below(2) == 0;
        if before {
            gone.kill();
        }
        cluster.stop_at_once();
        if !before {
            gone.kill();
        }
        cluster.start_again();
        killed += 1;
        keep(gone);
        recorders.push(start());
    }
    thread::sleep(Duration::from_millis(500));
    for mut recorder in recorders {
        recorder.kill();
        keep(recorder);
    }

    let ledger = Ledger::open(&path).unwrap();
    let report = verify(&ledger);
    assert!(report.is_sound(), "{:?}", report.faults);
    for acknowledged in &said.entries {
        let entry = ledger.get(&acknowledged.sequence.into()).unwrap();
        assert_eq!(entry.hash.to_string(), acknowledged.hash);
    }
    for job in &said.jobs {
        assert_eq!(ledger.job_events(*job).unwrap().len(), 1, "job {job}");
    }
    once_each(&ledger);
    let (entries, jobs) = (said.entries.len(), said.jobs.len());
    assert!(entries > 0 && jobs > 0, "nothing was recorded");
    tell(
        "crashes of the server while twenty record, one of them killed",
        killed,
        format!("{entries} entries and {jobs} jobs acknowledged, 0 lost, 0 doubled"),
        begun,
    );
}

/// No part and no job is on the record twice: each was handed in once.
fn once_each(ledger: &Ledger) {
    let mut parts = BTreeSet::new();
    let mut next = Some(Page::first(Order::OldestFirst, 1000));
    while let Some(page) = next {
        let listing = ledger.list(&Filter::default(), &page).unwrap();
        for entry in &listing.entries {
            let part = entry.content.subject("part").unwrap().to_owned();
            assert!(parts.insert(part), "{} is doubled", entry.id());
        }
        next = listing.next;
    }
    let mut texts = BTreeSet::new();
    for job in 1..=ledger.latest_job().unwrap().unwrap() {
        let events = ledger.job_events(job).unwrap();
        assert!(
            texts.insert(events[0].event.clone()),
            "job {job} is doubled"
        );
    }
}
