//! What the simulated bench found, as text and as Markdown.

use std::fmt::Write as _;

use metrology::message::Coded;

use crate::document::{Count, Held, Simulated};
use crate::say;
use crate::words::{self, number};

metrology::codes! {
    /// The size that an interval should hold.
    pub enum HeldSize "simulated-of" {
        Mean "mean",
        WorstPlace "worst-place",
    }
}

metrology::codes! {
    /// The columns of the table of intervals.
    pub enum CoverageColumn "simulated-column" {
        SetUp "set-up",
        Of "of",
        Intervals "intervals",
        Held "held",
        Bias "bias",
        ToLimit "to-limit",
        Deviation "deviation",
        Uncertainty "uncertainty",
        Expanded "expanded",
        Proven "proven",
        Probable "probable",
        Open "open",
    }
}

metrology::codes! {
    /// The columns of the table of rules.
    pub enum RuleColumn "simulated-rule-column" {
        Rule "rule",
        AcceptsAtMost "accepts-at-most",
        MeanAccepted "mean-accepted",
        AllAccepted "all-accepted",
        RejectsAtMost "rejects-at-most",
        MeanRejected "mean-rejected",
        AnyRejected "any-rejected",
        FalseAccept "false-accept",
        FalseReject "false-reject",
        Undecided "undecided",
    }
}

/// What a rule promises: of a size at the limit accepted, of one rejected; `-` where it promises nothing.
fn promise(rule: &str) -> (&'static str, &'static str) {
    match rule {
        "iso14253-1" | "probability" => ("5", "5"),
        "guard-band-four" => ("2.5", "2.5"),
        "guard-band" | "stringent" => ("2.5", "-"),
        "relaxed" => ("-", "2.5"),
        "simple" => ("50", "50"),
        // Its promise is about all jobs of a process.
        _ => ("-", "-"),
    }
}

fn percent(share: Count) -> String {
    number::fixed(share.share * 100.0, 2)
}

/// Rows of the coverage table: name, of what, intervals, coverage, bias, towards the limit, spread, mean u, median U, how often
/// ISO 14253-1 and the probability rule are deceived at the limit, and how often the first leaves a good part undecided.
fn coverage_rows(document: &Simulated) -> Vec<[String; 12]> {
    let row = |name: &str, of: HeldSize, found: Held, [proven, probable, open]: [String; 3]| {
        [
            name.to_owned(),
            words::word(&of),
            found.intervals.to_string(),
            number::fixed(found.coverage * 100.0, 2),
            number::signed(found.bias, 2),
            number::signed(found.towards_limit, 2),
            number::fixed(found.spread, 2),
            number::fixed(found.standard_uncertainty * 1000.0, 2),
            number::fixed(found.expanded_uncertainty * 1000.0, 2),
            proven,
            probable,
            open,
        ]
    };
    document
        .set_ups
        .iter()
        .chain([&document.all])
        .flat_map(|set_up| {
            let rates = [
                percent(set_up.proven_at_limit),
                percent(set_up.probable_at_limit),
                percent(set_up.undecided_in_the_middle),
            ];
            let mean = row(&set_up.label, HeldSize::Mean, set_up.mean, rates);
            // Where one place is asked for there is no worst.
            let worst = (set_up.worst_place.intervals > 0).then(|| {
                let (of, found) = (HeldSize::WorstPlace, set_up.worst_place);
                row(&set_up.label, of, found, Default::default())
            });
            [Some(mean), worst]
        })
        .flatten()
        .collect()
}

/// Rows of the table of rules: name, promise and what was found.
fn rule_rows(document: &Simulated) -> Vec<[String; 10]> {
    document
        .rules
        .iter()
        .map(|rule| {
            let (accepts, rejects) = promise(rule.rule);
            [
                rule.rule.to_owned(),
                accepts.to_owned(),
                percent(rule.mean_accepted_at_limit),
                percent(rule.all_accepted_at_limit),
                rejects.to_owned(),
                percent(rule.mean_rejected_at_limit),
                percent(rule.all_rejected_at_limit),
                percent(rule.false_acceptance),
                percent(rule.false_rejection),
                percent(rule.undecided),
            ]
        })
        .collect()
}

/// For a terminal.
pub fn text(document: &Simulated) -> String {
    let mut out = format!(
        "{}\n\n",
        say!("simulated.head", n = document.jobs, seed = document.seed)
    );
    let _ = writeln!(out, "{}", say!("simulated.intervals"));
    let _ = writeln!(
        out,
        "  {:<37} {:<11} {:>10} {:>7} {:>7}",
        "",
        "",
        words::word(&CoverageColumn::Held),
        words::word(&CoverageColumn::Deviation),
        words::word(&CoverageColumn::Uncertainty)
    );
    for [name, of, _, held, _, _, deviation, u, ..] in coverage_rows(document) {
        let _ = writeln!(
            out,
            "  {name:<37} {of:<11} {held:>10} {deviation:>7} {u:>7}"
        );
    }
    rules(document, &mut out);
    if document.slips.of > 0 {
        let slips = say!(
            "simulated.slips",
            flagged = document.slips.times,
            slips = document.slips.of,
            good_flagged = document.false_flags.times,
            good = document.false_flags.of
        );
        let _ = writeln!(out, "\n{slips}");
    }
    out
}

/// What the rules did at a limit, and in a process.
fn rules(document: &Simulated, out: &mut String) {
    let promised = say!("simulated.promised").to_owned();
    let _ = writeln!(out, "\n{}", say!("simulated.at-limit"));
    let _ = writeln!(
        out,
        "  {:<16} {promised:>9} {:>7} {:>7} {promised:>10} {:>7} {:>7}",
        "",
        words::word(&RuleColumn::MeanAccepted),
        words::word(&RuleColumn::AllAccepted),
        words::word(&RuleColumn::MeanRejected),
        words::word(&RuleColumn::AnyRejected)
    );
    for [rule, accepts, mean, all, rejects, mean_out, any_out, ..] in rule_rows(document) {
        let _ = writeln!(
            out,
            "  {rule:<16} {accepts:>9} {mean:>7} {all:>7} {rejects:>10} {mean_out:>7} {any_out:>7}"
        );
    }
    let _ = writeln!(out, "\n{}", say!("simulated.in-process"));
    let _ = writeln!(
        out,
        "  {:<16} {:>13} {:>13} {:>10}",
        "",
        words::word(&RuleColumn::FalseAccept),
        words::word(&RuleColumn::FalseReject),
        words::word(&RuleColumn::Undecided)
    );
    for [rule, .., accept, reject, undecided] in rule_rows(document) {
        let _ = writeln!(
            out,
            "  {rule:<16} {accept:>13} {reject:>13} {undecided:>10}"
        );
    }
}

/// The tables of the documentation.
pub fn markdown(document: &Simulated) -> String {
    let mut out = format!(
        "{}\n\n## {}\n\n",
        say!(
            "simulated.table-head",
            n = document.jobs,
            seed = document.seed
        ),
        say!("simulated.table-intervals")
    );
    table(
        &mut out,
        heads(CoverageColumn::EVERY),
        2,
        &coverage_rows(document),
    );
    let _ = write!(out, "\n## {}\n\n", say!("simulated.table-rules"));
    table(&mut out, heads(RuleColumn::EVERY), 1, &rule_rows(document));
    out
}

/// The heads of the columns.
fn heads(columns: &[impl Coded]) -> Vec<String> {
    columns.iter().map(words::word).collect()
}

/// A Markdown table; the columns after the first `words` are numbers.
fn table<const N: usize>(out: &mut String, head: Vec<String>, words: usize, rows: &[[String; N]]) {
    let _ = writeln!(out, "| {} |", head.join(" | "));
    let marks: Vec<&str> = (0..N)
        .map(|column| if column < words { "---" } else { "---:" })
        .collect();
    let _ = writeln!(out, "|{}|", marks.join("|"));
    for row in rows {
        let _ = writeln!(out, "| {} |", row.join(" | "));
    }
}
