//! English.

use super::Key;

#[expect(
    clippy::too_many_lines,
    clippy::match_same_arms,
    reason = "one arm a text; equal ones today may part tomorrow"
)]
pub(super) fn text(key: Key) -> &'static str {
    match key {
        Key::RightEar => "Right ear",
        Key::LeftEar => "Left ear",
        Key::RightEye => "Right eye",
        Key::LeftEye => "Left eye",
        Key::BothEyes => "Both eyes",
        Key::Audiogram => "Audiogram, {0} in {1}.",
        Key::Acuity => "Acuity, {0}: {1}.",
        Key::Thresholds => "thresholds",
        Key::AsObtainedNoThresholds => "values as obtained, not thresholds",
        Key::NothingYet => "nothing yet",
        Key::AxisHz => "Hz",
        Key::NoResponseAt => "no response at {0}",
        Key::OrBelow => "{0} or below",
        Key::OrPoorer => "{0} or poorer",
        Key::HeardAt => "heard at {0}",
        Key::NotHeardAt => "not heard at {0}",
        Key::EitherEarRemark => "no threshold: the other ear may have answered",
        Key::ScreeningRemark => "screening, no threshold",
        Key::LeansRemark => "leans on neighbouring frequencies: {0} % of its precision",
        Key::OtherEarMasked => "other ear masked",
        Key::Ear => "Ear",
        Key::FrequencyHz => "Frequency, Hz",
        Key::ThresholdIn => "Threshold, {0}",
        Key::AsObtainedIn => "As obtained, {0}",
        Key::DbHl => "dB HL",
        Key::DbReExaminer => "dB against the examiner",
        Key::DbFs => "dB re full scale",
        Key::Interval90 => "90 % interval of the midpoint",
        Key::MeasuredAgain => "Measured again",
        Key::Remark => "Remark",
        Key::KeyNoResponse => "no response at maximum",
        Key::KeyAtMinimum => "answered at minimum",
        Key::KeyInterval => "90 % of the midpoint",
        Key::KeyLeaning => "leans on its neighbours",
        Key::KeyEitherEar => "either ear answered: poorer",
        Key::KeyScreened => "screened: heard, not heard",
        Key::KeyBeyond => "above this set-up",
        Key::AsObtained => "as obtained",
        Key::PlusMinusLogMar => "{0} logMAR (u = {1})",
        Key::LogMarOf => "{0} logMAR",
        Key::Measured => "measured",
        Key::CountingFingers => "counts fingers at {0} m",
        Key::HandMotion => "sees a hand move at {0} m",
        Key::LightPerception => "tells light from dark",
        Key::NoLightPerception => "does not tell light from dark",
        Key::ScreenPassed => "reads {0} logMAR: {1} of {2} right",
        Key::ScreenNotPassed => "does not read {0} logMAR: {1} of {2} right",
        Key::BetterThanSmallest => "better than the smallest shown",
        Key::WorseThanLargest => "worse than the largest shown",
        Key::NotTested => "not tested",
        Key::Declined => "declined",
        Key::StoppedFor => "stopped: {0}",
        Key::NotDecidedYet => "not decided yet",
        Key::EquivalentTo => "Equivalent to {0}.",
        Key::MidpointBetween => "The midpoint lies between {0} and {1} logMAR with 90 %.",
        Key::SizeLogMar => "Size, logMAR",
        Key::RightAnswers => "Right",
        Key::Shown => "Shown",
        Key::Midpoint => "midpoint",
        Key::To => "{0} to {1}",
        Key::Title => "Hearing and sight",
        Key::Subject => {
            "Report of a visit on {0}: thresholds of hearing, visual acuity and agreement of answers"
        }
        Key::Months => {
            "January February March April May June July August September October November December"
        }
        Key::Date => "{0} {1} {2}",
        Key::FootId => "Report {0} · {1}",
        Key::PageOf => "Page {0} of {1}",
        Key::SimulatedMark => "SIMULATED SET-UP: nobody was measured",
        Key::AnotherProgram => "another program",
        Key::Person => "Person",
        Key::VisitTime => "Visit",
        Key::PlanAndSetUp => "Plan and set-up",
        Key::ReportNumber => "Report number",
        Key::InShort => "In short",
        Key::Hearing => "Hearing",
        Key::Sight => "Sight",
        Key::MeanOfFour => "Mean of 0.5, 1, 2 and 4 kHz",
        Key::AcuityHead => "Acuity, fraction at 6 m",
        Key::Exactness => "Precision",
        Key::Answers => "Answers",
        Key::NoneToState => "none to state",
        Key::ExpandedRange => "± {0} to {1} dB",
        Key::ExpandedLogMar => "± {0} logMAR",
        Key::ExpandedIs => {
            "± is the expanded uncertainty (k = 2, about 95 %), of hearing at single frequencies. Wrong: so many simulated people who answer what they perceive are graded inconsistent. Precision and agreement are two things; neither stands for the other."
        }
        Key::AtLeast => "at least",
        Key::NoMean => "{0} of {1} levels found, not all that a mean needs",
        Key::NoMeanOnScale => "{0} of {1} levels found, not in dB HL",
        Key::ScreenedHeard => "screening only: {0} of {1} frequencies heard",
        Key::AsObtainedNoAcuity => "value as obtained, no acuity",
        Key::NotDecided => "not decided",
        Key::Consistent => "consistent",
        Key::Mixed => "mixed",
        Key::Inconsistent => "inconsistent",
        Key::TooFewAnswers => "too few answers",
        Key::WronglyInconsistent => "wrong: {0}",
        Key::UnderPercent => "under {0} %",
        Key::OverPercent => "over {0} %",
        Key::WhoGrade => "Grade of the person (WHO 2021, better ear): {0}.",
        Key::Handicap => "Hearing handicap by the formula of 1979 (AAO-HNS/AMA): {0} %.",
        Key::AsObtainedNote => "Where values are as obtained there are no averages and no grades.",
        Key::ComparedBelow => "Compared below with an earlier visit ({0}).",
        Key::LookFurther => "Reasons to look further",
        Key::NoCues => {
            "None of the criteria that are looked at is met; that is no proof of health."
        }
        Key::NoCuesMeasured => {
            "Of what was measured, none of the criteria that are looked at is met."
        }
        Key::UrgencyNote => "To know:",
        Key::UrgencyRoutine => "Routine:",
        Key::UrgencySoon => "Soon:",
        Key::UrgencyUrgent => "The same day:",
        Key::HearingThresholds => "Hearing thresholds by air conduction",
        Key::HearingAsObtained => "Hearing: values as obtained, not thresholds",
        Key::HearingScreened => "Hearing, screened at one level",
        Key::HearingNotTested => "Hearing was not tested in this visit.",
        Key::RowExpanded => "U (k = 2)",
        Key::RowMasking => "Masking, dB EM",
        Key::RowPriorShare => "from the prior, %",
        Key::RowPresentations => "Tones that measured",
        Key::MaskingNotNeeded => "not needed",
        Key::MaskingDone => "done",
        Key::MaskingNotDone => "needed, not done",
        Key::MaskingFailed => "could not be masked",
        Key::Screening => "Screening",
        Key::Level => "Level",
        Key::Found => "Found",
        Key::AnsweredOf => "Answered",
        Key::ScreenHeard => "heard",
        Key::ScreenNotHeard => "not heard",
        Key::KOfN => "{0} of {1}",
        Key::RemarkUncertainty => {
            "U combines calibration, type and fit of the earphone, the room and the answers (ISO 8253-1, Annex A). Bars in the figure: 90 % of the midpoint, from the answers alone."
        }
        Key::RemarkNoUncertainty => {
            "No combined uncertainty can be stated without a valid profile. Bars in the figure: 90 % of the midpoint, from the answers alone."
        }
        Key::RemarkLeaning => {
            "† leans on the prior and on neighbouring frequencies for at least half of its precision: not a threshold by its own answers."
        }
        Key::RemarkAtMinimum => "≤: answered at the lowest level, the threshold is there or below.",
        Key::RemarkMasked => {
            "Masking: softest and loudest noise at the other ear over which the threshold stayed, dB effective masking level."
        }
        Key::RemarkNoMasking => "By the difference of the ears no masking was needed.",
        Key::RemarkPoorer => {
            "“Or poorer”: answered there without masking, by which ear is not known."
        }
        Key::SightAcuity => "Visual acuity",
        Key::SightAsObtained => "Sight: values as obtained, no acuity",
        Key::SightNotTested => "Sight was not tested in this visit.",
        Key::Eye => "Eye",
        Key::AtDistance => "at {0} m",
        Key::AtFeet => "at 20 ft",
        Key::DecimalAcuity => "decimal",
        Key::ByLetter => "by letter",
        Key::NearestLines => "lines within 90 %",
        Key::Correction => "correction",
        Key::BetterThan => "better than {0}",
        Key::WorseThan => "worse than {0}",
        Key::Landolt8 => "rings with a gap in 8 directions",
        Key::Landolt4 => "rings with a gap in 4 directions",
        Key::TumblingE => "E in 4 directions",
        Key::SloanLetters => "ten Sloan letters",
        Key::HotvLetters => "letters H, O, T, V",
        Key::Crowded => "with bars beside them",
        Key::NotCrowded => "by themselves",
        Key::ShownAs => "Shown: {0}, {1}.",
        Key::RemarkSight => {
            "logMAR: the size read with the 60 % of ISO 8596 for the choices used; fractions have the distance really used, 6 m and 20 ft are equivalents."
        }
        Key::RowsScore => "{0}, rows read letter by letter: {1} logMAR, {2} of {3} letters.",
        Key::AnswersHead => "How far the answers agree",
        Key::LookedAt => "What was looked at",
        Key::Seen => "Seen",
        Key::Expected => "Expected, and where that stands",
        Key::Looks => "Looks",
        Key::FitFits => "as expected",
        Key::FitDoubtful => "unusual",
        Key::FitMisfits => "far outside",
        Key::ErrorRates => {
            "{0}, how often the grade is wrong: of people who answer what they perceive {1} are graded inconsistent and {2} mixed; not graded inconsistent are {3} of people who answer at random and {4} of those who answer only above a bar of their own. Rates"
        }
        Key::SilentInterval => {
            "Silent presentations answered: {0} of {1}, exact 95 % interval {2} to {3} %."
        }
        Key::NextSteps => "Next steps where answers do not fit",
        Key::NextLook => {
            "Look for innocent causes first: understanding, attention, ringing in the ears, the earphone's seat, glasses, the mirror, noise and light of the room."
        }
        Key::NextObjectiveSight => {
            "Sight without answers: retinoscopy, pupils, evoked potentials, imaging where it is indicated."
        }
        Key::NextDisease => {
            "Disagreement never excludes real loss: about half of those whose findings did not fit together had something abnormal as well."
        }
        Key::ByHandHead => "Done by hand",
        Key::ByHandNone => "Nothing was done by hand in this visit: no worksheet, no series.",
        Key::NoWorksheet => "No worksheet was laid out in this visit.",
        Key::NotEnteredMeans => {
            "A line that is not entered says nothing, least of all normal. Hearing and acuity are filled in from the measurement."
        }
        Key::SeriesHead => "Series whose order could not be worked out",
        Key::NotConcluded => "What must not be concluded from the series",
        Key::ReferNow => "Refer now, whatever was found:",
        Key::SideRight => "right",
        Key::SideLeft => "left",
        Key::Nerve => "Nerve",
        Key::WhatLookedAt => "What",
        Key::SideHead => "Side",
        Key::HowMuch => "How much",
        Key::Comment => "Comment",
        Key::ByWhom => "By, at",
        Key::EnteredTimes => "entered {0} times, the last counts",
        Key::Series => "Series",
        Key::Prompts => "Prompts",
        Key::BesideGuessing => "Beside guessing",
        Key::CountsHead => "Counts, with exact 95 % intervals",
        Key::AnsweredOfPrompts => "{0} of {1} answered",
        Key::VoidCount => "{0} void",
        Key::UndoneCount => "{0} taken back",
        Key::StoppedEarly => "stopped",
        Key::UnderWay => "under way",
        Key::OnPaper => "on paper",
        Key::ExtentRow => "{0}: {1} cm at 1 m, {2} cm at 2 m, ratio {3}",
        Key::RateOf => "{0} of {1} ({2} to {3} %)",
        Key::SidesCompared => "right {0}, left {1}, Fisher's exact p = {2}: {3}",
        Key::StandsOut => "stands out",
        Key::StandsNotOut => "does not stand out",
        Key::ChangesHead => "Change against an earlier visit",
        Key::ChangesWithheld => {
            "An earlier visit is known; changes are withheld because the values are as obtained, or not in dB HL."
        }
        Key::DayNotKnown => "day not known",
        Key::ComparedWith => "Compared with {0}, {1}. Positive is poorer than before.",
        Key::NothingToCompare => "No ear and frequency has a threshold in both visits.",
        Key::Then => "then, dB HL",
        Key::Now => "now, dB HL",
        Key::ChangeDb => "change, dB",
        Key::RetestU => "u of two visits, dB",
        Key::BeyondRetest => "retests closer",
        Key::ChangesNote => {
            "Retests closer: how likely two visits of an unchanged ear lie closer together than this. One large figure among many is expected."
        }
        Key::ConditionsHead => "How it was measured",
        Key::MethodHead => "Method",
        Key::SetUpHead => "Set-up",
        Key::TimesHead => "Times and breaks (UTC)",
        Key::WhoHead => "Who and where",
        Key::DeviationsHead => "Deviations and void presentations",
        Key::NotInPlan => "not in the plan, not tested.",
        Key::Tones => "Tones",
        Key::Masking => "Masking",
        Key::Presented => "Presented",
        Key::CountsLine => {
            "{0} tones, {1} silent, {2} repeated, {3} optotypes; {4} void, {5} taken back."
        }
        Key::MethodScreening => {
            "screening at {0} dB HL, heard when answered twice, not heard when missed twice."
        }
        Key::MethodEstimate => {
            "all frequencies of both ears together: each tone where it tells most; the level is what 2 of 3 ascents would read on average for such answers."
        }
        Key::MethodAscents => {
            "ascents, {0} dB down after an answer, {1} dB up after none; threshold: the lowest level answered {2} times of its last {3} from below (ISO 8253-1:2010, 6.2.3.2)."
        }
        Key::MethodBracketing => {
            "bracketing: {1} ascents and {1} descents by turns in steps of {0} dB (ISO 8253-1:2010, 6.2.3.3)."
        }
        Key::TonesLine => {
            "{0}, {1} s, after a silence of {2} to {3} s drawn anew; {4} % of all slots silent."
        }
        Key::SignalSteady => "steady pure tones",
        Key::SignalPulsed => "pulsed pure tones",
        Key::SignalWarble => "warble tones",
        Key::MaskingPlanNone => "not by the procedure.",
        Key::MaskingPlanPlateau => {
            "plateau with narrow-band noise, steps of {0} dB, over {1} dB, within {2} dB; from {3} dB before the least interaural attenuation."
        }
        Key::MethodOneSize => "{0}, one size only ({1} logMAR): {2} of {3} right pass",
        Key::MethodNearCard => "{0}, rows of the near card {1}, read near and typed",
        Key::MethodByHand => "by hand: fingers to count, a hand that moves, a light",
        Key::SeenByHand => "seen",
        Key::NotSeenByHand => "not seen",
        Key::MethodAdaptive => {
            "one after the other, each of the size that tells most: {0}; forced choice of {1}, guessing wished."
        }
        Key::MethodRows => {
            "rows of five, read letter by letter: {0}; a row with {1} wrong ends it."
        }
        Key::CrowdedNote => "With a bar on each side.",
        Key::ReverseNote => "White on black.",
        Key::ShownFor => "Shown for {0} s.",
        Key::LettersCorrected => "Letters corrected for how easy they are.",
        Key::Earphone => "Earphone",
        Key::NoEarphone => "none: hearing could not be tested.",
        Key::EarphoneDigest => "earphone",
        Key::ScreenDigest => "screen",
        Key::Screen => "Screen",
        Key::NoScreen => "none: sight could not be tested.",
        Key::KindSimulated => "invented, for simulated people only",
        Key::KindMeasured => "measured",
        Key::KindJury => "zero from a listening jury on the same output",
        Key::KindExaminer => "the examiner's own ears",
        Key::KindUncalibrated => "not calibrated",
        Key::ScreenLine => "{0}, {1}; pixels of {2} mm (u {5} %), {3} by {4}.",
        Key::ScreenMade => "Measured {0}; {1}.",
        Key::WhiteIs => "white {0} cd/m²",
        Key::WhiteNotMeasured => "white not measured by a meter",
        Key::Distance => "Distance",
        Key::DistanceLine => "{0} m (u {1} %)",
        Key::ByMirror => ", by a mirror",
        Key::ClassNotKnown => "class not known",
        Key::ByNotKnown => "by whom is not on record",
        Key::NoExpiry => "no expiry",
        Key::StandardsOwn => "the standard's own figures",
        Key::Calibration => "Calibration",
        Key::CalibrationLine => {
            "{0}; levels in {1}; made {2}, {3}; valid until {4}; u of the levels: {5}."
        }
        Key::WholeVisit => "Whole visit",
        Key::FromTo => "{0} to {1}",
        Key::NoBreaks => "No break was taken.",
        Key::BreakFromTo => "Break {0} to {1}: {2}.",
        Key::BreakOpen => "Break from {0}, not ended: {1}.",
        Key::MadeClock => "The clock of this visit is made, not read.",
        Key::EnteredBy => "Entered by hand by",
        Key::NotOnRecord => "not on record",
        Key::AgeTold => "Age as told, years",
        Key::NotOnRecordHead => "Not on record in this visit's journal",
        Key::Note => "Note",
        Key::VoidLine => "{0} void, not counted: {1} (number {2}).",
        Key::UndoneLine => "Number {0} taken back ({1}): {2}.",
        Key::AmendedLine => "Answer of number {0} corrected from “{1}” to “{2}” ({3}): {4}.",
        Key::AnswerNot => "not answered",
        Key::TakenUpLine => "{0} taken up again: {1}.",
        Key::SeriesNumber => "Series {0}",
        Key::EndedLine => "{0} ended early: {1}.",
        Key::ProcedureLine => "The procedure changed to “{0}” during the visit.",
        Key::ByExaminerLine => "{0} presentations were chosen by the examiner by hand.",
        Key::ResumedLine => "Gone on with after the program had ended: {0} times.",
        Key::RepairedLine => "A last line that had been cut off was taken out: {0} times.",
        Key::NotClosed => "The visit was not closed: this report shows a part of it.",
        Key::UncalibratedNote => {
            "Levels are re full scale; the cap rests on an assumption about the headphone."
        }
        Key::MarginNote => {
            "Masking began earlier than the published difference, on the careful side."
        }
        Key::NoDeviations => "None; no presentation was void.",
        Key::LimitsHead => "Limits and cautions",
        Key::LimitSession => {
            "The figures hold for this person, set-up and time only; a conclusion, a diagnosis, its cause or a capacity is no part of this report."
        }
        Key::LimitLoss => {
            "Pressing a key and naming a direction are behaviour: they depend on instruction, attention and the room."
        }
        Key::ClosedYes => "the visit was closed",
        Key::ClosedNo => "the visit was not closed",
        Key::ChainLine => {
            "{0}, {1} lines, {2}. Whoever has the journal can check that this is the visit reported here: “veridical check”."
        }
        Key::ProgramLine => "Made by {0}; mathematics {1} in the visit, {2} in this report.",
        Key::SignatureHead => "Signature",
        Key::SignedWith => {
            "The journal was signed (Ed25519) on {0}, up to the head below, with the key {1}. That shows that it is unchanged since, to whoever knows this key from elsewhere; it signs no paper."
        }
        Key::SignatureMeaning => {
            "Strike out what does not apply: I measured this, I reviewed this, I approve this report. The signature binds to the head of the chain below."
        }
        Key::SignName => "Name and qualification",
        Key::SignMeaning => "measured · reviewed · approved",
        Key::SignDate => "Date and time",
        Key::SignSignature => "Signature",
        Key::ChainHead => "Head of the chain (SHA-256):",
        Key::SheetHead => "Sheet of the method",
        Key::TrialsHead => "Every presentation",
        Key::TrialsNote => {
            "In the order of the journal, void and taken-back ones included; times are UTC."
        }
        Key::RatioIs => {
            "{0}: log10 of the ratio of evidence {1}, as far as it may be shown. It weighs models of answering against one another; it is no probability about a person, and stands nowhere else in this report."
        }
        Key::RatioNone => "{0}: no ratio of evidence is stated; there are too few answers.",
        Key::BaseRate => "Of 100 people do not answer what they perceive",
        Key::OfInconsistent => "of 100 graded inconsistent do not (95 % limits)",
        Key::BudgetHead => "Uncertainty of each threshold, dB",
        Key::Quoted => "“{0}”",
        Key::StandardU => "u",
        Key::SourcesHead => "Where the criteria stand",
        Key::Number => "No.",
        Key::Began => "Began",
        Key::Purpose => "Purpose",
        Key::PresentedHead => "Presented",
        Key::Answer => "Answer",
        Key::Void => "void",
        Key::AnswerYes => "answered",
        Key::AnswerNone => "none",
        Key::AnswerEarly => "too early to count",
        Key::AfterS => "after {0} s",
        Key::KOfNRight => "{0} of {1} right",
        Key::TakenBack => "taken back",
        Key::PurposeFamiliarise => "familiarising",
        Key::PurposePractise => "practice",
        Key::PurposeMeasure => "measuring",
        Key::PurposeRepeat => "again",
        Key::PurposeScreen => "screening",
        Key::PurposeSweep => "sweep",
        Key::PurposeBothEars => "in both ears",
        Key::PurposeForcedChoice => "forced choice",
        Key::PurposeCompany => "after company",
        Key::PurposeMasked => "other ear masked",
        Key::PurposeSilent => "silent",
        Key::NoiseAt => "noise {0} {1} dB EM",
        Key::Silence => "silence",
        Key::FacingRight => "right",
        Key::FacingUpRight => "up right",
        Key::FacingUp => "up",
        Key::FacingUpLeft => "up left",
        Key::FacingLeft => "left",
        Key::FacingDownLeft => "down left",
        Key::FacingDown => "down",
        Key::FacingDownRight => "down right",
        Key::PersonTitle => "What your test found",
        Key::PersonIntro => {
            "This page is for you. It tells in plain words what was measured today. The full report is with the person who tested you."
        }
        Key::PersonHearing => "Your hearing",
        Key::PersonSight => "Your sight",
        Key::PersonNext => "What comes next",
        Key::PersonAtOnce => "Get help the same day",
        Key::PersonHearingNot => "Your hearing was not tested today.",
        Key::PersonSightNot => "Your sight was not tested today.",
        Key::PersonNotFitting => {
            "Your answers did not fit together well enough to give a result. That happens for many reasons: tiredness, not being sure what to do, ringing in the ears, illness and others. It says nothing about why. The test should be done again."
        }
        Key::PersonScreened => {
            "You heard some tones at one fixed loudness. That is a first look only, not a full test."
        }
        Key::PersonHearingHow => {
            "You heard tones from low to high and pressed when you heard one. The softest that you answered tell how well each ear hears:"
        }
        Key::PersonNoFigure => "there is no single figure; ask the person who tested you.",
        Key::PlainNormal => "hears soft sounds well.",
        Key::PlainMild => "misses some soft speech, above all in noise.",
        Key::PlainModerate => "finds ordinary talk hard to follow.",
        Key::PlainModeratelySevere => "hears loud speech; ordinary talk is hard even in quiet.",
        Key::PlainSevere => "hears very loud speech close by.",
        Key::PlainProfound => "hears hardly any speech without help.",
        Key::PersonSightHow => {
            "You named rings or letters that became smaller, with or without glasses as the report tells:"
        }
        Key::PersonSightGood => {
            "what you make out from 6 metres, usual sight makes out from about {0} metres. That is good sight."
        }
        Key::PersonSightLess => {
            "what you make out from 6 metres, usual sight makes out from about {0} metres."
        }
        Key::PersonSightBest => "you named even the smallest that could be shown.",
        Key::PersonSightWorst => {
            "the largest that could be shown was not made out; it should be looked at closer."
        }
        Key::PersonAgain => "Have the test done again on another day, rested.",
        Key::PersonUrgent => {
            "Something was found that should be looked at the same day. Talk to the person who tested you before you leave."
        }
        Key::PersonSoon => "Something was found that should be looked at soon. Ask how and where.",
        Key::PersonRoutine => {
            "Something was found that should be looked at when it suits. Ask for an appointment."
        }
        Key::PersonNothing => {
            "Nothing was found that has to be looked at now. Come back if something changes."
        }
        Key::PersonTooLittle => {
            "Nothing was found that has to be looked at now, but too little was tested to be sure of more. Come back if something changes."
        }
        Key::PersonAsk => "Ask whatever you want to know. You may have a copy of the full report.",
        Key::PersonSignHearing => "hearing that went away within hours or days, in one ear or both",
        Key::PersonSignSight => {
            "sight that went away suddenly, flashes, a curtain or a shadow, new double vision"
        }
        Key::PersonSignPain => "a red and painful eye, an ear that runs or hurts badly",
        Key::PersonSignFace => {
            "a weak face or arm, trouble with speaking, sudden spinning with headache"
        }
        Key::PersonLimits => {
            "This test is a measuring aid. It is not certified and not a diagnosis."
        }
        Key::KeyHead => "Key",
        Key::ByHandItem => "By hand",
        Key::RateGenuineIn => "answer what they perceive, graded inconsistent",
        Key::RateGenuineMixed => "the same, graded mixed",
        Key::RateRandom => "answer at random, not graded inconsistent",
        Key::RateBar => "answer only above a bar of their own, not so graded",
        Key::RatesFrom => "Rates",
        Key::Sense => "Sense",
        Key::GradeHead => "Answers are",
        Key::Digests => "Profiles, SHA-256",
        Key::SoundOutput => "Sound output",
        Key::SoundOutputLine => "{0}, {1} Hz, {2}; u of a response time {3} ms.",
        Key::BitsWithDither => "{0} bits with dither",
        Key::ListenedFirst => "The examiner listened first, from silence on: heard at {0}.",
        Key::Instructions => "Instructions",
        Key::WordsPlayed => "Words",
        Key::RecordingLine => "recording “{0}”{1}, {2}.",
        Key::PlayedWhole => "played to its end",
        Key::PlayedNotWhole => "not played to its end",
        Key::WhichEarPlayed => "Soft tones were played to check which ear is which.",
        Key::MissingInstructions => "wording of the instructions",
        Key::CountsAre => "Right of shown, by size in logMAR.",
        Key::MeasuredBy => "Acting",
        Key::SupervisedBy => "supervised by {0}",
        Key::Room => "Room",
        Key::RoomLine => "{0}, measured {1} by {2}, held true until {3}; u {4} dB.",
        Key::RoomBands => "Loudest, dB SPL by third of an octave in Hz: {0}.",
        Key::RoomLowest => {
            "Lowest level that may be claimed there (ISO 8253-1; ? cannot be told), dB HL by Hz: {0}."
        }
        Key::MissingPeople => "who examined, qualification, supervisor",
        Key::MissingPerson => {
            "clinic, date of birth, how identity was checked, question, consent, interpreter"
        }
        Key::MissingRoom => "noise and light of the room",
        Key::MissingEars => {
            "a look into the ears, recent noise, cold, ringing; the day's listening check"
        }
        Key::AddByHand => "To be added by hand where it matters.",
        Key::ElsewhereHead => "Found elsewhere",
        Key::FurtherHead => "Asked under other conditions",
        Key::HowAsked => "how asked",
        Key::AskedSingly => "one by one",
        Key::AskedRows => "rows",
        Key::AskedOneSize => "one size",
        Key::AskedNearCard => "near card",
        Key::AskedByHand => "by hand",
        Key::Pinhole => "pinhole",
        Key::Metres => "{0} m",
        Key::Fraction => "fraction",
        Key::MUnits => "{0} (M\u{a0}{1})",
        Key::GuessingPasses => {
            "{0}, one size: {1} of at most {2} right pass; guessing passes {3} in 1000 times."
        }
        Key::RowsScoreAlike => "all letters count alike",
        Key::RowsScoreCorrected => "the acuity corrected for letters that are easier or harder",
        Key::TwoDistances => "{0}, two distances",
        Key::VisionCategory => "Category of vision impairment (ICD-11, better eye): {0}.",
        Key::CategoryRests => "Category of vision impairment",
        Key::LimitsWithin => "within its uncertainty lies the limit {0}",
        Key::FunctionalAcuity => {
            "Functional acuity score {0}, U (k = 2) {1}; impairment of acuity alone {2} %"
        }
        Key::ToldOfEyes => "Told of the eyes",
        Key::AnswerIsYes => "yes",
        Key::AnswerIsNo => "no",
        Key::AnswerIsUnknown => "not known",
        Key::BeyondMeasuring => {
            "Presented beyond measuring, by which the rates go: hearing, {0}; sight, {1}."
        }
        Key::ExtentMeasuring => "nothing",
        Key::ExtentSweeps => "sweeps and tones in both ears",
        Key::ExtentChoices => "forced choices too",
        Key::ElsewhereNote => {
            "As told, entered by hand; not measured in this visit, and no figure above rests on it."
        }
    }
}
