//! A long list on standard input, one answer a line: on all cores, in the order of the input.

use std::collections::HashMap;
use std::io::{self, BufRead};
use std::num::NonZeroUsize;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use super::lines::{each_line_of, unread, without_mark};
use crate::failure::Failure;
use crate::output::Output;

/// Whole lines of the input, and what is answered to them; the room of both is used again.
#[derive(Default)]
struct Block {
    lines: Vec<u8>,
    answers: Output,
}

/// A block that has been answered, and whether every line was right.
type Answered = (Block, Result<bool, Failure>);

/// Answers every line of standard input that is not blank; `answer` says whether the line was right.
///
/// Blocks of lines go round the threads in turn and are fetched in the same turn, so the answers keep their order.
pub fn answer_stream(
    answer: impl Fn(&str, &mut Output) -> Result<bool, Failure> + Sync,
    output: &mut Output,
) -> Result<bool, Failure> {
    let threads = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    thread::scope(|scope| {
        let workers: Vec<_> = (0..threads)
            .map(|_| {
                let (to, blocks) = channel();
                let (answered, from) = channel();
                let answer = &answer;
                scope.spawn(move || work(&blocks, &answered, answer));
                (to, from)
            })
            .collect();
        hand_round(&workers, output)
    })
}

/// Two blocks for each thread are on their way: one in work and one waiting, while this thread reads and writes.
fn hand_round(
    workers: &[(Sender<Block>, Receiver<Answered>)],
    output: &mut Output,
) -> Result<bool, Failure> {
    let mut input = io::stdin().lock();
    without_mark(&mut input)?;
    let mut spare: Vec<_> = (0..2 * workers.len()).map(|_| Block::default()).collect();
    let mut all_right = true;
    let mut at_end = false;
    let mut sent = workers.iter().cycle();
    let mut due = workers.iter().cycle();
    let mut on_the_way = 0;
    loop {
        if let (false, Some(mut block)) = (at_end, spare.pop()) {
            read_block(&mut input, &mut block.lines)?;
            at_end = block.lines.is_empty();
            if let (false, Some((to, _))) = (at_end, sent.next()) {
                // A thread that has gone shows when its answer is fetched.
                let _ = to.send(block);
                on_the_way += 1;
            }
        } else if on_the_way == 0 {
            return Ok(all_right);
        } else if let Some((_, from)) = due.next() {
            let (mut block, right) = from.recv().map_err(Failure::outside)?;
            on_the_way -= 1;
            all_right &= right?;
            output.append(&mut block.answers)?;
            spare.push(block);
        }
    }
}

/// What has arrived of the input, up to the end of a line; nothing at its end.
fn read_block(input: &mut impl BufRead, block: &mut Vec<u8>) -> Result<(), Failure> {
    block.clear();
    let arrived = input.fill_buf().map_err(unread)?;
    block.extend_from_slice(arrived);
    let length = block.len();
    input.consume(length);
    if !matches!(block.last(), None | Some(b'\n')) {
        input.read_until(b'\n', block).map_err(unread)?;
    }
    Ok(())
}

/// Answers blocks until there are no more, or nobody wants the answers.
fn work(
    blocks: &Receiver<Block>,
    answered: &Sender<Answered>,
    answer: &impl Fn(&str, &mut Output) -> Result<bool, Failure>,
) {
    let mut known = Known::default();
    for mut block in blocks {
        let mut all_right = true;
        let done = each_line_of(&block.lines, |text| {
            all_right &= known.answer(text, &mut block.answers, answer)?;
            Ok(())
        });
        if answered.send((block, done.map(|()| all_right))).is_err() {
            return;
        }
    }
}

/// Answers kept as they were written. A list of parts names the same few hundred threads again and again, and an
/// answer depends on nothing but its line and the options of the run. What is said beside an answer is not kept.
#[derive(Default)]
struct Known {
    answers: HashMap<String, (Vec<u8>, bool)>,
}

/// As many answers as are kept, about 1 kB each: more than the threads of all standards in their usual classes.
const KEPT: usize = 8192;

impl Known {
    fn answer(
        &mut self,
        text: &str,
        output: &mut Output,
        answer: &impl Fn(&str, &mut Output) -> Result<bool, Failure>,
    ) -> Result<bool, Failure> {
        if let Some((written, right)) = self.answers.get(text) {
            output.bytes(written)?;
            return Ok(*right);
        }
        let from = output.kept().len();
        let asides = output.asides();
        let right = answer(text, output)?;
        if self.answers.len() < KEPT && output.asides() == asides {
            let written = output.kept().get(from..).unwrap_or_default().to_vec();
            self.answers.insert(text.to_owned(), (written, right));
        }
        Ok(right)
    }
}
