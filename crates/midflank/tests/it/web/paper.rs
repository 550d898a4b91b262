//! The report of a record as PDF, from its page.

use super::support::{Bench, Folder};
use crate::bench::Bench as Desk;

#[test]
fn the_page_of_a_record_leads_to_its_pdf_by_link_and_key() {
    let folder = Folder::new("paper");
    let desk = Desk::new();
    let job = desk.demo("1-rating-screw.toml", &[]);
    let ledger = folder.path().join("ledger.db");
    let record = [
        "--ledger",
        ledger.to_str().unwrap(),
        "inspect",
        job.to_str().unwrap(),
        "--record",
    ];
    let recorded = desk.run(&record);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let bench = Bench::start(&folder, 0, &[]);
    let page = bench.get("/record/1");
    assert!(page.body.contains(".pdf\" data-key=\"p\""), "{}", page.body);
    for address in ["/records/1.pdf", "/records/1-long.pdf"] {
        let answer = bench.get(address);
        assert_eq!(answer.status, 200, "{}", answer.head);
        assert_eq!(answer.header("content-type"), Some("application/pdf"));
        assert!(answer.body.starts_with("%PDF-1.7"), "{address}");
    }
    for nothing in ["/records/2.pdf", "/records/1.html", "/records/one.pdf"] {
        assert_eq!(bench.get(nothing).status, 404, "{nothing}");
    }
}
