//! Every code has a sentence, every sentence is used, and every place in a sentence has a value.

use metrology::features::Lacking;
use metrology::inspection::FeatureKind;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use super::*;

/// Codes that the calculation declares, with the names of their values. One line an enum.
const DECLARED: &[&[(&str, &[&str])]] = &[
    metrology::inspection::Warning::DECLARED,
    metrology::inspection::DefaultName::DECLARED,
    metrology::inspection::RestsOn::DECLARED,
    metrology::inspection::NotFoundAt::DECLARED,
    metrology::inspection::Decides::DECLARED,
    metrology::inspection::Taken::DECLARED,
    metrology::inspection::Measured::DECLARED,
    metrology::inspection::CoatingState::DECLARED,
    metrology::inspection::LimitsTold::DECLARED,
    metrology::inspection::TermsError::DECLARED,
    metrology::inspection::OtherThread::DECLARED,
    metrology::inspection::Instead::DECLARED,
    metrology::inspection::Wait::DECLARED,
    metrology::inspection::ZeroCheck::DECLARED,
    metrology::inspection::Overridden::DECLARED,
    metrology::inspection::Piece::DECLARED,
    metrology::inspection::GaugeMember::DECLARED,
    metrology::inspection::GaugeWrong::DECLARED,
    metrology::inspection::Unmarked::DECLARED,
    metrology::inspection::Untold::DECLARED,
    metrology::inspection::State::DECLARED,
    metrology::inspection::Quantity::DECLARED,
    metrology::source::Confidence::DECLARED,
    metrology::coating::Basis::DECLARED,
    metrology::coating::CoatingAssumed::DECLARED,
    metrology::coating::CoatingError::DECLARED,
    metrology::coating::CoatingNote::DECLARED,
    metrology::coating::Conflict::DECLARED,
    metrology::coating::ConflictInShort::DECLARED,
    metrology::coating::OtherClass::DECLARED,
    metrology::coating::Room::DECLARED,
    metrology::coating::State::DECLARED,
    metrology::coating::ThicknessError::DECLARED,
    metrology::coating::Tighter::DECLARED,
    metrology::designation::Assumed::DECLARED,
    metrology::designation::Begins::DECLARED,
    metrology::designation::ClassNotDefined::DECLARED,
    metrology::designation::Covered::DECLARED,
    metrology::designation::Element::DECLARED,
    metrology::designation::EngagementFault::DECLARED,
    metrology::designation::Fault::DECLARED,
    metrology::designation::Form::DECLARED,
    metrology::designation::GivenPitch::DECLARED,
    metrology::designation::Hand::DECLARED,
    metrology::designation::Kind::DECLARED,
    metrology::designation::KnownClasses::DECLARED,
    metrology::designation::KnownName::DECLARED,
    metrology::designation::KnownPitches::DECLARED,
    metrology::designation::KnownSizes::DECLARED,
    metrology::designation::LeadMismatch::DECLARED,
    metrology::designation::MissingPitch::DECLARED,
    metrology::designation::PartOfScrew::DECLARED,
    metrology::designation::SeriesOf::DECLARED,
    metrology::designation::StatedDiameter::DECLARED,
    metrology::designation::StatedLimit::DECLARED,
    metrology::designation::UnitOf::DECLARED,
    metrology::gauges::Crest::DECLARED,
    metrology::gauges::Direction::DECLARED,
    metrology::gauges::Disagreement::DECLARED,
    metrology::gauges::GaugeReason::DECLARED,
    metrology::gauges::GaugeLimit::DECLARED,
    metrology::gauges::WearLimit::DECLARED,
    workshop::gauges::GaugeRefused::DECLARED,
    metrology::gauges::GaugeError::DECLARED,
    metrology::gauges::GaugeName::DECLARED,
    metrology::gauges::GaugeNote::DECLARED,
    metrology::gauges::Gauged::DECLARED,
    metrology::gauges::LookedFor::DECLARED,
    metrology::identify::Difference::DECLARED,
    metrology::identify::EvidenceError::DECLARED,
    metrology::identify::Growth::DECLARED,
    metrology::identify::Measured::DECLARED,
    metrology::identify::Miscount::DECLARED,
    metrology::identify::Possible::DECLARED,
    metrology::identify::Quantity::DECLARED,
    metrology::identify::Shop::DECLARED,
    metrology::limits::Dispute::DECLARED,
    metrology::limits::DisputeReason::DECLARED,
    metrology::limits::DisputedLimit::DECLARED,
    metrology::limits::Note::DECLARED,
    metrology::limits::Place::DECLARED,
    metrology::limits::TaperError::DECLARED,
    metrology::units::EntryError::DECLARED,
    metrology::units::LengthError::DECLARED,
    metrology::units::PitchError::DECLARED,
    metrology::correction::CorrectionName::DECLARED,
    metrology::correction::CurveError::DECLARED,
    metrology::decision::DecisionError::DECLARED,
    metrology::decision::EstimateError::DECLARED,
    metrology::decision::NoneAccepted::DECLARED,
    metrology::decision::Permitted::DECLARED,
    metrology::decision::Range::DECLARED,
    metrology::decision::DecisionWarning::DECLARED,
    metrology::decision::Improve::DECLARED,
    metrology::decision::Reason::DECLARED,
    metrology::decision::Verdict::DECLARED,
    metrology::decision::risk::Parameter::DECLARED,
    metrology::decision::risk::RiskError::DECLARED,
    crate::process::ProcessError::DECLARED,
    metrology::contacts::Contact::DECLARED,
    metrology::contacts::MisfitError::DECLARED,
    metrology::contacts::Width::DECLARED,
    metrology::effect::EffectName::DECLARED,
    metrology::effect::ValidFor::DECLARED,
    metrology::elastic::ElasticError::DECLARED,
    metrology::range::Measure::DECLARED,
    metrology::range::OutOfRange::DECLARED,
    metrology::range::Within::DECLARED,
    metrology::reconcile::Carrier::DECLARED,
    metrology::reconcile::CauseName::DECLARED,
    metrology::reconcile::Check::DECLARED,
    metrology::reconcile::ReconcileError::DECLARED,
    metrology::reconcile::Turns::DECLARED,
    simulated_bench::SetUpName::DECLARED,
    simulated_bench::SimulationError::DECLARED,
    metrology::chart::Signal::DECLARED,
    metrology::chart::Charted::DECLARED,
    metrology::sampling::Level::DECLARED,
    metrology::sampling::SamplingError::DECLARED,
    metrology::sampling::Severity::DECLARED,
    metrology::sampling::Why::DECLARED,
    metrology::study::StudyError::DECLARED,
    metrology::study::Within::DECLARED,
    metrology::study::repeatability::Design::DECLARED,
    metrology::study::repeatability::Method::DECLARED,
    metrology::study::repeatability::VariationOf::DECLARED,
    workshop::bench::studying::StudyRefused::DECLARED,
    workshop::bench::studying::Named::DECLARED,
    workshop::gauge_record::study::StudyKind::DECLARED,
    workshop::gauge_room::studies::StudyError::DECLARED,
    metrology::study::TableError::DECLARED,
    metrology::uncertainty::BudgetError::DECLARED,
    metrology::uncertainty::CorrelationError::DECLARED,
    metrology::uncertainty::CoverageError::DECLARED,
    metrology::uncertainty::LineNumber::DECLARED,
    metrology::uncertainty::monte_carlo::MonteCarloError::DECLARED,
    metrology::uncertainty::monte_carlo::Undrawable::DECLARED,
    metrology::uncertainty::report::Part::DECLARED,
    metrology::uncertainty::report::RoundingError::DECLARED,
    metrology::validation::CaseSet::DECLARED,
    metrology::wires::Approximation::DECLARED,
    metrology::wires::SeatError::DECLARED,
    workshop::bench::calibration::Ask::DECLARED,
    workshop::bench::calibration::told::Wanted::DECLARED,
    crate::cli::pull::Pulled::DECLARED,
    crate::kept::Unreadable::DECLARED,
    crate::look_up::wires::WiresError::DECLARED,
    crate::document::ContactsNote::DECLARED,
    crate::document::Instead::DECLARED,
    crate::document::Unknown::DECLARED,
    crate::document::Why::DECLARED,
    crate::document::ZeroSet::DECLARED,
    workshop::first_article::Because::DECLARED,
    workshop::first_article::CertificateOf::DECLARED,
    workshop::first_article::Extent::DECLARED,
    crate::report::sheet::study_drawing::Shape::DECLARED,
    crate::report::sheet::study::StudyName::DECLARED,
    crate::web::pages::study_files::Setting::DECLARED,
    crate::report::functional::Gauge::DECLARED,
    crate::report::functional::Head::DECLARED,
    crate::report::simulated::CoverageColumn::DECLARED,
    crate::report::simulated::HeldSize::DECLARED,
    crate::report::simulated::RuleColumn::DECLARED,
    crate::report::wires::Ball::DECLARED,
    crate::report::wires::Wire::DECLARED,
    metrology::inspection::Basis::DECLARED,
    metrology::inspection::Begin::DECLARED,
    metrology::inspection::FindingBounds::DECLARED,
    metrology::inspection::Formula::DECLARED,
    metrology::inspection::LineAdvice::DECLARED,
    metrology::inspection::More::DECLARED,
    metrology::inspection::Near::DECLARED,
    metrology::inspection::Note::DECLARED,
    metrology::inspection::MadeAs::DECLARED,
    metrology::inspection::OffTo::DECLARED,
    metrology::inspection::OwnName::DECLARED,
    metrology::inspection::PlaceName::DECLARED,
    crate::bench::event::When::DECLARED,
    crate::bench::notes::JobNote::DECLARED,
    crate::record::RecordNote::DECLARED,
    crate::record::RecordError::DECLARED,
    crate::record::Part::DECLARED,
    workshop::recall::Piece::DECLARED,
    workshop::recall::RecallError::DECLARED,
    workshop::RecordKind::DECLARED,
    workshop::checks_on_record::CheckError::DECLARED,
    workshop::gauge_room::room_log::RoomLogError::DECLARED,
    workshop::gauge_room::certificate_table::ValuesError::DECLARED,
    workshop::gauge_record::case::Decided::DECLARED,
    workshop::gauge_room::case::CaseError::DECLARED,
    workshop::gauge_room::zero_checks::ChecksError::DECLARED,
    metrology::interval::IntervalError::DECLARED,
    metrology::interval::Method::DECLARED,
    workshop::job_status::Barred::DECLARED,
    workshop::trials::TrialError::DECLARED,
    metrology::inspection::StatusNote::DECLARED,
    metrology::inspection::KnownBy::DECLARED,
    metrology::inspection::Unfit::DECLARED,
    workshop::lot::ZeroNote::DECLARED,
    workshop::gauge_record::piece::PieceKind::DECLARED,
    workshop::gauge_record::piece::UnknownPiece::DECLARED,
    workshop::gauge_record::certificate::CertificateError::DECLARED,
    workshop::gauge_record::certificate::Conformity::DECLARED,
    workshop::gauge_room::calibration::FileError::DECLARED,
    workshop::gauge_room::held_against::NotTaken::DECLARED,
    workshop::gauge_room::calibration::RecordRefused::DECLARED,
    workshop::gauge_record::status::Set::DECLARED,
    workshop::gauge_record::status::Status::DECLARED,
    workshop::gauge_record::status::StatusError::DECLARED,
    workshop::not_known::NotKnown::DECLARED,
    metrology::calibration::CalibrationError::DECLARED,
    metrology::calibration::CalibrationLine::DECLARED,
    metrology::calibration::CalibrationNote::DECLARED,
    metrology::calibration::Grade::DECLARED,
    metrology::calibration::Guard::DECLARED,
    metrology::calibration::Norm::DECLARED,
    metrology::calibration::Shape::DECLARED,
    metrology::calibration::Traceability::DECLARED,
    metrology::calibration::Traced::DECLARED,
    workshop::plan::Take::DECLARED,
    workshop::plan::Way::DECLARED,
    workshop::plan::Class::DECLARED,
    workshop::plan::PlanError::DECLARED,
    workshop::plan::PlanNote::DECLARED,
    workshop::plan::ThreadPart::DECLARED,
    crate::web::pages::plan::Field::DECLARED,
    workshop::lots::LotsError::DECLARED,
    workshop::lots::FirstArticleError::DECLARED,
    workshop::lots::NonconformingError::DECLARED,
    workshop::nonconformance::Disposition::DECLARED,
    workshop::lot::LotError::DECLARED,
    workshop::lot::LotNote::DECLARED,
    workshop::lots::LotRemark::DECLARED,
    workshop::in_doubt::Against::DECLARED,
    workshop::lots::OffPlan::DECLARED,
    workshop::lots::OtherPlan::DECLARED,
    workshop::lots::LotTakes::DECLARED,
    workshop::lots::PlanPart::DECLARED,
    metrology::lot::LotVerdict::DECLARED,
    metrology::lot::LotReason::DECLARED,
    metrology::lot::Standing::DECLARED,
    crate::clock::ClockError::DECLARED,
    crate::approvals::ApprovalError::DECLARED,
    workshop::badges::BadgeError::DECLARED,
    crate::equipment::UnknownKind::DECLARED,
    workshop::equipment_list::ListError::DECLARED,
    workshop::equipment_list::ListNote::DECLARED,
    crate::job_file::FileNote::DECLARED,
    crate::register::ShelfNote::DECLARED,
    crate::desk::DeskError::DECLARED,
    crate::bench::Refused::DECLARED,
    crate::bench::answer::Unstated::DECLARED,
    crate::web::LineRefused::DECLARED,
    crate::bench::places::Numbered::DECLARED,
    crate::bench::places::Station::DECLARED,
    metrology::inspection::RequirementReason::DECLARED,
    metrology::inspection::Settling::DECLARED,
    metrology::inspection::StatedUncertainty::DECLARED,
    metrology::inspection::Step::DECLARED,
    metrology::inspection::Suspicion::DECLARED,
    metrology::inspection::Where::DECLARED,
    metrology::inspection::WireDiameter::DECLARED,
    metrology::inspection::Withheld::DECLARED,
    metrology::inspection::Without::DECLARED,
    crate::document::LimitsFrom::DECLARED,
    workshop::equipment_list::Change::DECLARED,
    crate::given::NumberError::DECLARED,
    crate::job_file::Contradiction::DECLARED,
    crate::job_file::Wrong::DECLARED,
    crate::register::Kind::DECLARED,
    crate::register::Refusal::DECLARED,
    crate::given::TextError::DECLARED,
    crate::document::Method::DECLARED,
    crate::document::setup::Judgement::DECLARED,
    crate::document::Stricter::DECLARED,
    metrology::inspection::AtHand::DECLARED,
    metrology::inspection::Caution::DECLARED,
    metrology::inspection::ContactKind::DECLARED,
    metrology::inspection::ContactsUnfit::DECLARED,
    metrology::inspection::FeatureKind::DECLARED,
    metrology::inspection::Field::DECLARED,
    metrology::inspection::Ideal::DECLARED,
    metrology::inspection::JobError::DECLARED,
    metrology::inspection::LetStand::DECLARED,
    metrology::inspection::Made::DECLARED,
    metrology::inspection::NotUsable::DECLARED,
    metrology::inspection::Right::DECLARED,
    metrology::inspection::Scope::DECLARED,
    metrology::inspection::Service::DECLARED,
    metrology::inspection::StandardForm::DECLARED,
    metrology::inspection::InstrumentLacks::DECLARED,
    metrology::inspection::StandardUnfit::DECLARED,
    metrology::inspection::StateError::DECLARED,
    metrology::inspection::ThreadDiameter::DECLARED,
    metrology::inspection::Together::DECLARED,
    metrology::inspection::UsualContacts::DECLARED,
    metrology::inspection::Wanted::DECLARED,
    metrology::inspection::WiresUnfit::DECLARED,
];

/// Sentences that the formatter itself asks for.
const OWN: &[(&str, &[&str])] = &[
    metrology::designation::ThreadError::SUGGESTED,
    ("list.and", &["first", "last"]),
    ("number.above", &["bound"]),
    ("number.below", &["bound"]),
    ("number.endless", &[]),
    // A size that nobody named.
    ("characteristic.size", &[]),
    ("calibration-note.found-open", &[]),
    // The short form of each warning that blocks a signature.
    ("doubt.zero-range", &[]),
    ("doubt.zero-moved", &[]),
    ("doubt.one-place", &[]),
    ("doubt.other-part", &[]),
    ("doubt.rejected-otherwise", &[]),
    ("doubt.contradicted", &[]),
    ("doubt.recalled", &[]),
    ("doubt.found-beyond", &[]),
    ("doubt.check-out", &[]),
    ("doubt.evidence-withdrawn", &[]),
    ("doubt.scrapped", &[]),
    ("doubt.returned", &[]),
    ("doubt.held", &[]),
    ("doubt.not-as-recorded", &[]),
    ("doubt.in-rework", &[]),
    ("doubt.in-repair", &[]),
    ("doubt.before-receipt", &[]),
    ("doubt.other-drawing", &[]),
    ("doubt.other-limits", &[]),
    ("doubt.other-rule", &[]),
    ("doubt.other-scope", &[]),
    ("doubt.other-way", &[]),
    ("doubt.not-all-around", &[]),
    ("doubt.not-proven", &[]),
    ("doubt.part-far", &[]),
    ("doubt.struck-outweigh", &[]),
    ("doubt.struck-beyond-outweigh", &[]),
    ("doubt.beyond-range", &[]),
    ("doubt.overdue", &[]),
    ("doubt.limited", &[]),
    ("doubt.worn", &[]),
    ("doubt.gauge-past-limit", &[]),
    ("doubt.gauge-unfit", &[]),
    ("doubt.stated-past-limit", &[]),
    // Decision rules by their keys.
    ("rule.simple", &[]),
    ("rule.iso14253-1", &[]),
    ("rule.probability", &[]),
    ("rule.guard-band", &[]),
    ("rule.stated-guard-band", &[]),
    ("rule.guard-band-four", &[]),
    ("rule.stringent", &[]),
    ("rule.relaxed", &[]),
    ("rule.false-accept-2", &[]),
    // Sources that are no documents.
    ("source.trade-table", &[]),
    ("source.crimp-sheets", &[]),
    ("source.geometry", &[]),
    ("source.common-practice", &[]),
    ("source.memory", &[]),
    // The expansion of each body, by the quantity of its budget line.
    ("expansion.part-expansion", &["note"]),
    ("expansion.standard-expansion", &["note"]),
    ("expansion.instrument-expansion", &["note"]),
];

/// Sentences that are asked for by a code made at run time; a test beside each holds that none is missing.
const MADE: &[&str] = &[
    "ask.",
    "choice.",
    "help",
    "owned.",
    "stated.",
    "standard-form.",
];

/// The codes that stand with features: their own, how their readings are spread, and what their options say.
fn of_features() -> Vec<(String, &'static [&'static str])> {
    let mut all = Vec::new();
    let shared = metrology::features::SHARED.iter().copied().flatten();
    all.extend(shared.map(|(code, names)| ((*code).to_owned(), *names)));
    for kind in FeatureKind::EVERY {
        let own = kind.codes().iter().copied().flatten();
        all.extend(own.map(|(code, names)| ((*code).to_owned(), *names)));
        all.push((format!("spread.{}", kind.key()), &[][..]));
        for flag in kind.options() {
            if !flag.option.is_empty() {
                all.push((format!("setup-value.{}", flag.option), &[]));
            }
            match flag.lacking {
                Some(Lacking::What(code)) => all.push((code.to_owned(), &[])),
                Some(Lacking::Sentence(code)) => all.push((code.to_owned(), &["known"])),
                None => {}
            }
        }
    }
    // Places of a thread, and of a size of which no more is known.
    all.push(("spread.thread".to_owned(), &[]));
    all
}

/// The places of a sentence.
fn places(sentence: &str) -> BTreeSet<&str> {
    sentence
        .split('{')
        .skip(1)
        .filter_map(|rest| rest.split_once('}'))
        .map(|(name, _)| name)
        .collect()
}

/// Every `say!("key", name = ...)` of the program: the key and the names.
fn said() -> BTreeMap<String, BTreeSet<String>> {
    let mut all: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let sources = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for file in rust_files(&sources) {
        if file.ends_with("words/tests.rs") {
            continue;
        }
        let text = fs::read_to_string(&file).unwrap();
        let code: Vec<&str> = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"))
            .collect();
        let text = code.join("\n");
        for (at, call) in text.match_indices("say!(") {
            let call = text[at + call.len()..].trim_start();
            let Some((key, rest)) = call.strip_prefix('"').and_then(|call| call.split_once('"'))
            else {
                continue;
            };
            let names = all.entry(key.to_owned()).or_default();
            names.extend(names_of(rest));
        }
    }
    all
}

/// The names of the values in `, name = value, other = value)`.
fn names_of(arguments: &str) -> Vec<String> {
    let (mut depth, mut names, mut start, mut quoted) = (0_i32, Vec::new(), 0, false);
    let bytes = arguments.as_bytes();
    for (index, byte) in bytes.iter().enumerate() {
        match byte {
            b'"' if index == 0 || bytes[index - 1] != b'\\' => quoted = !quoted,
            _ if quoted => {}
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' if depth > 0 => depth -= 1,
            b',' | b')' if depth == 0 => {
                if let Some((name, _)) = arguments[start..index].split_once('=') {
                    names.push(
                        name.trim_matches(|c: char| c == ',' || c.is_whitespace())
                            .to_owned(),
                    );
                }
                if *byte == b')' {
                    break;
                }
                start = index + 1;
            }
            _ => {}
        }
    }
    names
}

fn rust_files(folder: &Path) -> Vec<std::path::PathBuf> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(rust_files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            all.push(path);
        }
    }
    all
}

/// Codes that are computed with, and not said by themselves.
const NOT_SAID: &[&str] = &["SuspicionKind", "Thickness", "CompressionDefinition"];

#[test]
fn every_enum_of_codes_is_looked_at() {
    let this = include_str!("tests.rs");
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut missing = Vec::new();
    for file in ["metrology/src", "workshop/src", "midflank/src"]
        .iter()
        .flat_map(|sources| rust_files(&crates.join(sources)))
    {
        let text = fs::read_to_string(&file).unwrap();
        // What declares them has examples of its own.
        if file.ends_with("metrology/src/message.rs") {
            continue;
        }
        // What stands with a feature is listed there.
        let folder = file.parent().unwrap();
        let of_feature = folder
            .components()
            .any(|part| part.as_os_str() == "features");
        let this = match fs::read_to_string(folder.join("mod.rs")) {
            Ok(listed) if of_feature => listed + this,
            _ => this.to_owned(),
        };
        for declaration in text.split("pub enum ").skip(1) {
            let name = declaration.split_whitespace().next().unwrap_or_default();
            let coded = declaration[name.len()..].trim_start().starts_with('"');
            let listed = this.contains(&format!("{name}::DECLARED"));
            if coded && !listed && !NOT_SAID.contains(&name) {
                missing.push(name.to_owned());
            }
        }
    }
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn every_code_has_a_sentence_whose_places_have_values() {
    let mut wrong = Vec::new();
    let declared = DECLARED.iter().copied().flatten().chain(OWN);
    let mut check = |key: &str, names: &BTreeSet<&str>| {
        let Some(sentence) = known(key) else {
            wrong.push(format!("{key} has no sentence"));
            return;
        };
        let others = [".one", ".page", ".report", ".on-standard"]
            .map(|ending| known(&format!("{key}{ending}")));
        for sentence in [Some(sentence)].into_iter().chain(others).flatten() {
            for place in places(sentence) {
                if !names.contains(place) {
                    wrong.push(format!("{key}: nothing is given for {{{place}}}"));
                }
            }
        }
    };
    for (key, names) in declared {
        check(key, &names.iter().copied().collect());
    }
    for (key, names) in &of_features() {
        check(key, &names.iter().copied().collect());
    }
    for (key, names) in &said() {
        check(key, &names.iter().map(String::as_str).collect());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_sentence_is_used_and_written_once() {
    let said = said();
    let of_features = of_features();
    let mut used: BTreeSet<&str> = said.keys().map(String::as_str).collect();
    used.extend(of_features.iter().map(|(key, _)| key.as_str()));
    used.extend(
        DECLARED
            .iter()
            .copied()
            .flatten()
            .chain(OWN)
            .map(|(key, _)| *key),
    );
    let mut seen = BTreeSet::new();
    let mut wrong = Vec::new();
    for key in keys() {
        if !seen.insert(key) {
            wrong.push(format!("{key} is written twice"));
        }
        let made = MADE.iter().any(|subject| key.starts_with(subject));
        let used_by = |suffix| key.strip_suffix(suffix).unwrap_or(key);
        let endings = [".one", ".page", ".report", ".on-standard"];
        if !made && !endings.iter().any(|ending| used.contains(used_by(ending))) {
            wrong.push(format!("nobody says {key}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn lines_that_are_no_comment_are_sentences() {
    for (file, text) in catalogue_files() {
        for line in text
            .lines()
            .filter(|line| !line.trim().is_empty() && !line.starts_with('#'))
        {
            assert!(line.contains(" = "), "{}: {line}", file.display());
            // A line is a sentence as it is shown: there is no way to write a line break in it.
            assert!(!line.contains('\\'), "{}: {line}", file.display());
        }
    }
}

fn catalogue_files() -> Vec<(std::path::PathBuf, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/words/en");
    let files = [folder.join("equipment"), folder.join("features"), folder]
        .into_iter()
        .flat_map(|folder| fs::read_dir(folder).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file());
    files
        .map(|file| (file.clone(), fs::read_to_string(file).unwrap()))
        .collect()
}

#[test]
fn every_file_is_in_the_catalogue() {
    let all: BTreeSet<&str> = keys().collect();
    for (file, text) in catalogue_files() {
        let first = text.lines().find_map(|line| line.split_once(" = "));
        let read = first.is_none_or(|(key, _)| all.contains(key.trim()));
        assert!(read, "{} is not read", file.display());
    }
}

/// What an approved study measured is stored by its key, and told in the words of the page.
#[test]
fn what_a_study_measured_is_told_in_words() {
    let told = |measured: &str| {
        let warning = metrology::inspection::Warning::StudyOfOther {
            study: "12-3fa9".to_owned(),
            measured: measured.to_owned(),
        };
        [
            super::said(&warning),
            super::on_report(
                &warning,
                super::Shown::in_unit(metrology::units::LengthUnit::Millimetre),
            ),
        ]
    };
    for (key, words) in [
        ("plain-diameter", "feature.plain-diameter"),
        ("pitch-diameter", "diameter.pitch-diameter"),
        ("size", "approval.plain-size"),
    ] {
        let words = super::known(words).unwrap();
        for told in told(key) {
            assert!(told.contains(words), "{key}: {told}");
        }
    }
}

/// What is stored as it was typed, or as a time in UTC, is shown as people write it: a space before the unit, one decimal sign, no
/// letters in a time (SI brochure, 5.4.3).
#[test]
fn stored_text_is_shown_as_people_write_it() {
    use metrology::message::{Message, Value};
    let text = |text: &str| Value::Text(text.to_owned());
    let of = |code: &str, values: &[(&'static str, Value)]| Message {
        code: code.to_owned().into(),
        values: values
            .iter()
            .map(|(name, value)| ((*name).into(), value.clone()))
            .collect(),
    };
    let readings = Value::List(["9.9994mm", "9,9994mm", "9.9mm"].map(text).to_vec());
    let aside = of(
        "job-note.set-aside",
        &[("when", text("before")), ("readings", readings)],
    );
    assert!(
        super::said(&aside).contains("9.9994 mm, 9.9994 mm and 9.9 mm"),
        "{}",
        super::said(&aside)
    );
    let times = ["2026-11-30T15:58:34Z", "2026-11-30T16:03:00Z"].map(text);
    let [from, to] = times;
    let parked = of(
        "job-note.parked",
        &[("station", text("vm")), ("from", from), ("to", to)],
    );
    assert!(
        super::said(&parked).contains("2026-11-30 15:58 UTC"),
        "{}",
        super::said(&parked)
    );
    assert_eq!(number::typed("60uin"), "60 µin");
    let recalled = characteristic_as_stored("M10x1.5-6g pitch-diameter");
    assert!(
        recalled.starts_with("M10x1.5-6g, ") && !recalled.contains("pitch-diameter"),
        "{recalled}"
    );
    assert_eq!(characteristic_as_stored("shank"), "shank");
    let minus = number::on_paper(|| number::fixed(-0.00102, 5));
    assert_eq!(minus, "\u{2212}0.00102");
}
