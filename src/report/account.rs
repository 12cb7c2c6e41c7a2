use crate::compare::{Compared, FoundCounts};
use crate::drawing::PaperSize;
use crate::finding::{self, Finding, Severity, Since, Verdict};
use crate::mark::{self, Mark};
use crate::route::Reckoning;
use crate::study::{Falls, JudgedSurvey, Study};
use crate::unit::Units;
use crate::words::Say;

/// A study with what was found in it and what is to be set out: what every report prints, and all it may print.
#[derive(Debug, Clone)]
pub struct Report {
    /// The results.
    pub study: Study,
    /// What was found, in order of harm.
    pub findings: Vec<Finding>,
    /// What stands and what is wanted, numbered.
    pub marks: Vec<Mark>,
    /// Units of what is shown.
    pub units: Units,
    /// Paper that the sheets are drawn for.
    pub paper: PaperSize,
}

impl Report {
    /// Reads the findings and marks off a study.
    pub fn of(study: Study, units: Units) -> Self {
        let findings = finding::of_study(&study);
        let marks = mark::of_study(&study);
        Self {
            study,
            findings,
            marks,
            units,
            paper: PaperSize::usual(units),
        }
    }

    /// In the user's units, on the user's pegs.
    pub fn say(&self) -> Say<'_> {
        Say::on(self.units, &self.study.line.geometry.pegs)
    }

    /// The verdict.
    pub fn verdict(&self) -> Verdict {
        finding::verdict(&self.findings)
    }
}

/// A survey judged alone, with what was found.
#[derive(Debug, Clone)]
pub struct SurveyReport {
    /// The results.
    pub surveyed: JudgedSurvey,
    /// What each station is on the survey's pegs.
    pub pegs: Reckoning,
    /// Title: the file's name.
    pub title: String,
    /// What was found, in order of harm.
    pub findings: Vec<Finding>,
    /// Units of what is shown.
    pub units: Units,
    /// Paper that the sheets are drawn for.
    pub paper: PaperSize,
}

impl SurveyReport {
    /// Reads the findings off a survey.
    pub fn of(surveyed: JudgedSurvey, title: String, units: Units) -> Self {
        let findings = finding::of_survey(&surveyed);
        Self {
            pegs: Reckoning::of(&surveyed.route),
            surveyed,
            title,
            findings,
            units,
            paper: PaperSize::usual(units),
        }
    }

    /// The gravest of what was found; a line that climbs, or of which the survey cannot tell, is to be put right.
    pub fn worst(&self) -> Option<Severity> {
        let falls = self.surveyed.falls() == Falls::Falls;
        worst(&self.findings).max((!falls).then_some(Severity::Fix))
    }

    /// In the user's units, on the user's pegs.
    pub fn say(&self) -> Say<'_> {
        Say::on(self.units, &self.pegs)
    }
}

/// The gravest of what was found.
pub fn worst(findings: &[Finding]) -> Option<Severity> {
    findings.iter().map(|f| f.severity).max()
}

/// Two studies of one pipe, before and after.
#[derive(Debug, Clone)]
pub struct StormReport {
    /// As it was.
    pub before: Report,
    /// As it lies now.
    pub after: Report,
    /// What moved, what it broke, what to do.
    pub compared: Compared,
}

impl StormReport {
    /// Puts the stakes of the comparison in place of the study's own.
    pub fn of(before: Report, mut after: Report, mut compared: Compared) -> Self {
        after.study.regrade.clone_from(&compared.regrade);
        after.marks = mark::of_study(&after.study);
        finding::since(&before.findings, &mut after.findings);
        // What forbids running is told once and rules tonight too.
        let stops = || {
            after
                .findings
                .iter()
                .filter(|f| f.severity == Severity::Stop)
        };
        let news = stops().filter(|f| f.since == Some(Since::New)).count();
        compared.heed(FoundCounts {
            stops: stops().count(),
            new_stops: news,
            first_stop_m: stops().next().map_or(0.0, |f| f.from_m),
            fixes: after
                .findings
                .iter()
                .filter(|f| f.severity == Severity::Fix)
                .count(),
            missing: finding::missing(&after.findings),
        });
        Self {
            before,
            after,
            compared,
        }
    }
}
