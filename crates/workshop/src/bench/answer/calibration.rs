//! What a line does at a question of a calibration.

use metrology::calibration::FAR_FROM_PLUG;
use metrology::units::{Entered, Length, LengthUnit};

use super::{Answer, Table, one, shown};
use crate::bench::calibration::told::{self, Wanted};
use crate::bench::calibration::{Ask, Calibrating, FEWEST_POINTS, On, OnBlocks, told_of_pair};
use crate::bench::event::{BlockSet, Event};
use crate::bench::refusal::{Refusal, Refused};
use crate::gauge_room::blocks::Owned;
use crate::station;

/// A reading further from the blocks than this was made on others, or in another unit: as the calculation refuses it.
const FAR: Length = Length::from_micrometres(100);

impl Table<'_> {
    /// An answer; Enter alone takes what is offered.
    pub(super) fn calibration(&self, ask: Ask, line: &str) -> Result<Answer, Refusal> {
        let Some(calibrating) = self.state.calibrating() else {
            return Err(Refusal::new(Refused::NotComplete));
        };
        let offered = self.calibration_offer(calibrating, ask);
        let line = match (line, &offered) {
            ("", Some(offered)) => offered.as_str(),
            (line, _) => line,
        };
        let unit = calibrating.unit();
        let line = match ask {
            Ask::Blocks => {
                let set = self.blocks(unit, line)?;
                return Ok(one(Event::Blocks { set }));
            }
            Ask::FirstPlug | Ask::SecondPlug => return self.plug(calibrating, ask, line),
            Ask::FirstPitch | Ask::SecondPitch => {
                self.pitch(calibrating, ask, line)?;
                line.to_owned()
            }
            Ask::Limit => {
                told_of_pair::limit(line, unit)?;
                line.to_owned()
            }
            Ask::Criterion => {
                told::criterion(line, unit)?;
                line.to_owned()
            }
            Ask::Number => required(line, Wanted::Number)?,
            Ask::Issuer => required(line, Wanted::Issuer)?,
            Ask::Procedure => Some(line)
                .filter(|line| *line != told::NONE)
                .unwrap_or_default()
                .to_owned(),
            Ask::Temperature => {
                told::temperature(line)?;
                line.to_owned()
            }
            Ask::Points => {
                points(on_blocks(calibrating)?, line)?;
                line.to_owned()
            }
            Ask::Flatness => {
                let line = if line.is_empty() { told::NONE } else { line };
                told::flatness(line, unit)?;
                line.to_owned()
            }
            Ask::Parallelism => {
                let line = if line.is_empty() { told::NONE } else { line };
                told::parallelism(line, unit)?;
                line.to_owned()
            }
            Ask::Adjusted => {
                let answer = match line {
                    yes if told::is_yes(yes) => told::YES,
                    no if told::is_no(no) => told::NO,
                    _ => return Err(Refusal::new(Wanted::YesOrNo)),
                };
                answer.to_owned()
            }
            Ask::Due => {
                let last = self.state.readings.last();
                let on = last.map_or(self.today, |one| station::day(one.at));
                told::due(line, on)?;
                line.to_owned()
            }
        };
        Ok(one(answered(ask, line)))
    }

    /// What is stated of the receipt of the piece; none where the line is of something else.
    pub(super) fn receipt(&self, line: &str) -> Option<Result<Answer, Refusal>> {
        let last = self.state.readings.last();
        let on = last.map_or(self.today, |one| station::day(one.at));
        let stated = told::receipt(line, on)?;
        Some(stated.map(|(asked, answer)| {
            one(Event::CalibrationTold {
                asked: asked.to_owned(),
                answer,
            })
        }))
    }

    /// What Enter alone takes.
    pub(super) fn calibration_offer(&self, calibrating: &Calibrating, ask: Ask) -> Option<String> {
        let before = calibrating.offers.get(ask.key()).cloned();
        match ask {
            Ask::FirstPlug | Ask::SecondPlug => self.offered_plug(calibrating, ask),
            Ask::FirstPitch | Ask::SecondPitch => Self::offered_pitch(calibrating, ask),
            Ask::Blocks => {
                let mut fit = self.blocks.iter().filter(|one| one.may_be_used());
                let as_before = fit.clone().find(|one| one.set.certificate == before);
                let only = fit.next().filter(|_| fit.next().is_none());
                as_before.or(only).map(|one| one.set.id.clone())
            }
            Ask::Criterion | Ask::Limit | Ask::Issuer => before,
            Ask::Procedure => before.or_else(|| Some(told::NONE.to_owned())),
            Ask::Number => None,
            Ask::Temperature => Some(told::usual_temperature()),
            Ask::Points => {
                let on = on_blocks(calibrating).ok()?;
                let (usual, _) = on.usual();
                let unit = on.unit();
                let sizes = usual
                    .iter()
                    .map(|(at, _)| Entered::of(*at, unit).number().normalize());
                let line = sizes
                    .map(|size| size.to_string())
                    .collect::<Vec<_>>()
                    .join(" ");
                Some(line).filter(|_| usual.len() >= FEWEST_POINTS)
            }
            Ask::Flatness | Ask::Parallelism => Some(told::NONE.to_owned()),
            Ask::Adjusted => Some(told::NO.to_owned()),
            Ask::Due => self.state.due_again().map(|due| due.to_string()),
        }
    }

    /// A set by its identity or its number in the list, or blocks by their grade.
    fn blocks(&self, unit: LengthUnit, line: &str) -> Result<BlockSet, Refusal> {
        if let Some(set) = told::by_grade(line, unit) {
            return set;
        }
        let by_number = line.parse::<usize>().ok();
        let by_number = by_number.and_then(|number| self.blocks.get(number.checked_sub(1)?));
        let named = |one: &&Owned| one.set.id.eq_ignore_ascii_case(line);
        match self.blocks.iter().find(named).or(by_number) {
            Some(owned) if owned.may_be_used() => Ok(owned.set.clone()),
            Some(owned) => Err(Refusal::new(Wanted::UnfitBlocks {
                id: owned.set.id.clone(),
                status: owned.status,
            })),
            None => Err(Refusal {
                suggestions: self.blocks.iter().map(|one| one.set.id.clone()).collect(),
                ..Refusal::new(Wanted::Blocks {
                    text: line.to_owned(),
                })
            }),
        }
    }

    /// A reading of the blocks that are to be under the faces, or of the plug between the contacts.
    pub(super) fn on_standard(&self, line: &str, index: usize) -> Result<Entered, Refusal> {
        let not_complete = || Refusal::new(Refused::NotComplete);
        let (Some(calibrating), Some(unit)) = (self.state.calibrating(), self.state.unit) else {
            return Err(not_complete());
        };
        let reading = shown(line, unit)?;
        let text = reading.text().to_owned();
        let (place, _) = calibrating.place(index);
        // At the ends of its range a micrometer shows a little less and a little more.
        let (size, within, far_off) = match &calibrating.of {
            On::Blocks(on) => {
                let (at, _) = on.points.get(place).ok_or_else(not_complete)?;
                (*at, FAR, Wanted::FarOff { text, at: *at })
            }
            On::Plugs(on) => {
                let plug = on.plugs().get(place).and_then(Option::as_ref);
                let plug = plug.ok_or_else(not_complete)?;
                let (id, size) = (plug.id.clone(), plug.size.value());
                (size, FAR_FROM_PLUG, Wanted::FarFromPlug { text, id, size })
            }
        };
        let is_near = |reading: Length| (reading - size).abs() <= within;
        if is_near(reading.value()) {
            return Ok(reading);
        }
        Err(self
            .if_in_other_unit(&reading, is_near)
            .unwrap_or_else(|| Refusal::new(far_off)))
    }
}

/// An answer by the key of what was asked.
pub(super) fn answered(ask: Ask, answer: String) -> Event {
    Event::CalibrationTold {
        asked: ask.key().to_owned(),
        answer,
    }
}

fn on_blocks(calibrating: &Calibrating) -> Result<&OnBlocks, Refusal> {
    match &calibrating.of {
        On::Blocks(on) => Ok(on),
        On::Plugs(_) => Err(Refusal::new(Refused::NotComplete)),
    }
}

fn required(line: &str, missing: Wanted) -> Result<String, Refusal> {
    match line {
        "" => Err(Refusal::new(missing)),
        line => Ok(line.to_owned()),
    }
}

/// Points that can be measured: within the range, in order, each once, and each made by blocks.
fn points(on: &OnBlocks, line: &str) -> Result<(), Refusal> {
    let all = told::sizes(line, on.unit())?;
    let all: Vec<Length> = all.iter().map(Entered::value).collect();
    let [from, to] = on.range();
    if let Some(at) = all.iter().copied().find(|at| *at < from || *at > to) {
        return Err(Refusal::new(Wanted::PointOutside { at, from, to }));
    }
    if !all.is_sorted_by(|one, next| one < next) {
        return Err(Refusal::new(Wanted::PointOrder));
    }
    if all.len() < FEWEST_POINTS {
        return Err(Refusal::new(Wanted::FewPoints {
            least: FEWEST_POINTS,
        }));
    }
    match all.iter().copied().find(|at| on.stack(*at).is_none()) {
        Some(at) => Err(Refusal::new(Wanted::NoStack { at })),
        None => Ok(()),
    }
}
