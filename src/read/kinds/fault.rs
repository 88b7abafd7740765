//! `faults/*.toml`

use crate::model::quantity::Dimension;
use crate::model::{
    Access, Answer, Cause, Check, CrossingAnswer, CrossingChecks, ErrorRates, Fault, Guide, Id, Kind, Likelihood, Link,
    Occurrence, ProseRole, Reading, Rods, Verify,
};
use crate::read::record::Record;
use crate::report::Finding;

const OCCURRENCES: [(&str, Occurrence); 2] =
    [("constant", Occurrence::Constant), ("intermittent", Occurrence::Intermittent)];

const RODS: [(&str, Rods); 2] = [("rods in", Rods::In), ("rods out", Rods::Out)];

/// The one fault of a file.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    if let Some(fault) = record.single("fault", fault) {
        guide.faults.insert(Id::new(fault.head.id.value.as_str()), fault);
    }
}

/// `[fault]` stands beside the lists of its causes and checks, so the whole file is its record.
fn fault(top: &mut Record<'_, '_>) -> Option<Fault> {
    let head = top.child("fault", |record| {
        let head = record.head(Kind::Fault);
        let symptom = record.line("symptom", ProseRole::Quoted, "the complaint in the customer's words");
        let also_said = record.lines("also_said", ProseRole::Quoted);
        let codes = record.words("codes");
        let occurs = record.one_of_opt("occurs", &OCCURRENCES).map(|occurs| occurs.value).unwrap_or_default();
        let none_of_these = record.count_opt("none_of_these");
        let cautions = record.cautions();
        let says = record.prose_opt("says", ProseRole::Text);
        Some((head?, symptom?, also_said, codes, occurs, none_of_these, cautions, says))
    });
    let owner = head.as_ref().map(|(head, ..)| head.id.clone());
    top.adopt(Kind::Fault, owner.as_ref());
    let verify = top.child("verify", verify);
    let accesses = top.children("access", access);
    let causes = top.children("cause", cause);
    let checks = top.children("check", check);
    let crossings = top.children("crossings", crossings);
    let (mut head, symptom, also_said, codes, occurs, none_of_these, cautions, says) = head?;
    head.span = top.span;
    Some(Fault {
        head,
        symptom,
        also_said,
        codes,
        occurs,
        verify,
        cautions,
        none_of_these,
        accesses,
        causes,
        checks,
        crossings,
        says,
    })
}

fn verify(record: &mut Record<'_, '_>) -> Option<Verify> {
    let says = record.prose("says", ProseRole::Step, "how to see that the complaint is real");
    let verify = Verify {
        seconds: record.minutes_opt("minutes"),
        state: record.link_opt("state", Kind::State),
        cautions: record.cautions(),
        touches: record.touches(),
        otherwise: record.prose_opt("otherwise", ProseRole::Text),
        says: says?,
    };
    Some(verify)
}

fn access(record: &mut Record<'_, '_>) -> Option<Access> {
    let id = record.local_id(Kind::Access);
    let action = record.line("do", ProseRole::Step, "what to open or take off");
    let seconds = record.minutes("minutes");
    let access = Access {
        needs: record.own_links("needs", Kind::Access),
        state: record.link_opt("state", Kind::State),
        make_safe: record.links("make_safe", Kind::Procedure),
        tools: record.words("tools"),
        cautions: record.cautions(),
        touches: record.touches(),
        span: record.span,
        id: id?,
        action: action?,
        seconds: seconds?,
    };
    Some(access)
}

fn cause(record: &mut Record<'_, '_>) -> Option<Cause> {
    let id = record.local_id(Kind::Cause);
    let says = record.line("says", ProseRole::Text, "the cause in one sentence");
    let cause = Cause {
        likelihood: likelihood(record),
        repair: record.link_opt("repair", Kind::Procedure),
        brings: record.local_links("brings", Kind::Cause),
        by_elimination: record.line_opt("by_elimination", ProseRole::Text),
        crossing: record.links("crossing", Kind::Hose),
        span: record.span,
        id: id?,
        says: says?,
    };
    Some(cause)
}

fn likelihood(record: &mut Record<'_, '_>) -> Option<Likelihood> {
    let share = record.count_opt("share");
    let word = record.link_opt("likelihood", Kind::LikelihoodWord);
    if let (Some(share), Some(word)) = (&share, &word) {
        let wrong = format!("The cause has a share of {} and the word \"{}\".", share.value, word.value);
        let remedy = "Leave one of the two: `share` for a weight of its own, `likelihood` for the weight of the word.";
        let finding = Finding::new("likelihood-said-twice", word.span, wrong, remedy);
        record.ledger.complain(finding.with(share.span, "the share"));
    }
    match (share, word) {
        (Some(share), _) => Some(Likelihood::Share(share)),
        (None, Some(word)) => Some(Likelihood::Word(word)),
        (None, None) => None,
    }
}

fn check(record: &mut Record<'_, '_>) -> Option<Check> {
    let id = record.local_id(Kind::Check);
    let ask = record.line("ask", ProseRole::Text, "the question that the answers answer");
    let how = record.prose_opt("how", ProseRole::Step);
    let seconds = record.minutes("minutes");
    let reading: Option<Link<Reading>> = record.link_opt("reading", Kind::Reading);
    // A reading that could not be read, or stood in a lost statement, says enough.
    let mut has_reading = record.has("reading") || record.is_hurt();
    let answers = record.children("answer", |record| answer(record, reading.as_ref(), &mut has_reading));
    let check = Check {
        how,
        access: record.own_links("access", Kind::Access),
        state: record.link_opt("state", Kind::State),
        make_safe: record.links("make_safe", Kind::Procedure),
        after: record.own_links("after", Kind::Check),
        first: record.flag("first"),
        tools: record.words("tools"),
        cautions: record.cautions(),
        touches: record.touches(),
        test_point: record.pair_opt("test_point", Kind::WiringPath, Kind::TestPoint),
        tries: record.link_opt("tries", Kind::Procedure),
        error_rates: error_rates(record),
        span: record.span,
        reading,
        answers,
        id: id?,
        ask: ask?,
        seconds: seconds?,
    };
    Some(check)
}

fn error_rates(record: &mut Record<'_, '_>) -> Option<ErrorRates> {
    let misses = record.quantity_opt("misses", Some(Dimension::Ratio));
    let false_alarms = record.quantity_opt("false_alarms", Some(Dimension::Ratio));
    (misses.is_some() || false_alarms.is_some()).then_some(ErrorRates { misses, false_alarms })
}

fn answer(record: &mut Record<'_, '_>, reading: Option<&Link<Reading>>, has_reading: &mut bool) -> Option<Answer> {
    let says = record.line("says", ProseRole::Text, "what the technician sees or measures");
    let mut words: Vec<_> = record.word_opt("band").map(|word| ("band", word)).into_iter().collect();
    words.extend(record.words("bands").into_iter().map(|word| ("bands", word)));
    let bands = words.into_iter().filter_map(|(key, word)| match reading {
        Some(reading) => record.mention_in(key, Kind::Band, reading.as_str(), word),
        None => {
            if !std::mem::replace(has_reading, true) {
                record.missing_beside(key, word.span, "reading", "the check");
            }
            None
        }
    });
    let bands = bands.collect();
    let answer = Answer {
        bands,
        leaves: record.own_links("leaves", Kind::Cause),
        go_to: record.link_opt("go_to", Kind::Fault),
        sound: record.flag("sound"),
        span: record.span,
        says: says?,
    };
    Some(answer)
}

fn crossings(record: &mut Record<'_, '_>) -> Option<CrossingChecks> {
    let ask = record.line("ask", ProseRole::Text, "the question, with {direction} for what the operator calls it");
    let seconds = record.minutes("minutes");
    let nothing = record.line("nothing", ProseRole::Text, "the answer where nothing moves");
    let as_it_should = record.line("as_it_should", ProseRole::Text, "the answer where all moves as it should");
    let checks = CrossingChecks {
        pumps: record.links("pumps", Kind::Pump),
        how: record.prose_opt("how", ProseRole::Step),
        access: record.own_links("access", Kind::Access),
        state: record.link_opt("state", Kind::State),
        make_safe: record.links("make_safe", Kind::Procedure),
        tools: record.words("tools"),
        cautions: record.cautions(),
        touches: record.touches(),
        rods: record.one_of_opt("rods", &RODS),
        only: record.line_opt("only", ProseRole::Text),
        answers: record.children("answer", crossing_answer),
        span: record.span,
        ask: ask?,
        seconds: seconds?,
        nothing: nothing?,
        as_it_should: as_it_should?,
    };
    Some(checks)
}

fn crossing_answer(record: &mut Record<'_, '_>) -> Option<CrossingAnswer> {
    Some(CrossingAnswer {
        says: record.line_opt("says", ProseRole::Text),
        pump: record.link_opt("pump", Kind::Pump),
        leaves: record.own_links("leaves", Kind::Cause),
    })
}
