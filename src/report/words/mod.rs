//! All that a report says, in its languages. A language answers every [`Key`]: a text that is
//! missing in one of them does not compile.

mod de;
mod en;
mod phrases;

/// A language of the report (BCP 47: `en`, `de`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lang {
    /// English.
    #[default]
    English,
    /// German.
    German,
}

/// Makes the keys, and the list of all of them for the tests.
macro_rules! keys {
    ($($key:ident)*) => {
        /// A text of the report.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        #[allow(missing_docs, reason = "each is told by its English text")]
        pub enum Key { $($key,)* }

        impl Key {
            /// All of them.
            pub const ALL: &[Key] = &[$(Key::$key,)*];
        }
    };
}

keys! {
    RightEar LeftEar RightEye LeftEye BothEyes
    Audiogram Acuity Thresholds AsObtainedNoThresholds NothingYet AxisHz
    NoResponseAt OrBelow OrPoorer HeardAt NotHeardAt
    EitherEarRemark ScreeningRemark LeansRemark OtherEarMasked
    Ear FrequencyHz ThresholdIn AsObtainedIn DbHl DbReExaminer DbFs Interval90 MeasuredAgain Remark
    KeyNoResponse KeyAtMinimum KeyInterval KeyLeaning KeyEitherEar KeyScreened KeyBeyond AsObtained
    PlusMinusLogMar LogMarOf Measured BetterThanSmallest WorseThanLargest CountingFingers HandMotion LightPerception
    NoLightPerception ScreenPassed ScreenNotPassed NotTested Declined StoppedFor
    NotDecidedYet EquivalentTo MidpointBetween SizeLogMar RightAnswers Shown Midpoint To
    Title Subject Months Date FootId PageOf SimulatedMark AnotherProgram Person VisitTime PlanAndSetUp
    ReportNumber InShort Hearing Sight MeanOfFour AcuityHead Exactness Answers NoneToState ExpandedRange
    ExpandedLogMar ExpandedIs AtLeast NoMean NoMeanOnScale ScreenedHeard AsObtainedNoAcuity NotDecided
    Consistent Mixed Inconsistent TooFewAnswers WronglyInconsistent UnderPercent OverPercent WhoGrade Handicap
    AsObtainedNote ComparedBelow LookFurther NoCues NoCuesMeasured UrgencyNote UrgencyRoutine UrgencySoon UrgencyUrgent
    HearingThresholds HearingScreened HearingAsObtained HearingNotTested RowExpanded RowMasking RowPriorShare RowPresentations
    MaskingNotNeeded MaskingDone MaskingNotDone MaskingFailed Screening Level Found AnsweredOf ScreenHeard
    ScreenNotHeard KOfN RemarkUncertainty RemarkNoUncertainty RemarkLeaning RemarkAtMinimum RemarkMasked
    RemarkNoMasking RemarkPoorer SightAcuity SightAsObtained SightNotTested Eye AtDistance AtFeet
    DecimalAcuity ByLetter NearestLines Correction BetterThan WorseThan Landolt8 Landolt4 TumblingE
    SloanLetters HotvLetters Crowded NotCrowded ShownAs RemarkSight RowsScore AnswersHead
    LookedAt Seen Expected Looks FitFits FitDoubtful FitMisfits ErrorRates SilentInterval NextSteps
    NextLook NextObjectiveSight NextDisease ByHandHead ByHandNone NoWorksheet
    NotEnteredMeans SeriesHead NotConcluded ReferNow SideRight SideLeft Nerve WhatLookedAt SideHead HowMuch
    Comment ByWhom EnteredTimes Series Prompts BesideGuessing CountsHead AnsweredOfPrompts VoidCount
    UndoneCount StoppedEarly UnderWay OnPaper ExtentRow RateOf SidesCompared StandsOut StandsNotOut
    ChangesHead ChangesWithheld DayNotKnown ComparedWith NothingToCompare Then Now ChangeDb RetestU
    BeyondRetest ChangesNote ConditionsHead MethodHead SetUpHead TimesHead WhoHead DeviationsHead NotInPlan
    Tones Masking Presented CountsLine MethodScreening MethodEstimate MethodAscents MethodBracketing TonesLine
    SignalSteady SignalPulsed SignalWarble MaskingPlanNone MaskingPlanPlateau MethodAdaptive MethodRows MethodOneSize MethodNearCard MethodByHand
    SeenByHand NotSeenByHand
    CrowdedNote ReverseNote ShownFor LettersCorrected Earphone NoEarphone EarphoneDigest ScreenDigest
    Screen NoScreen KindSimulated KindMeasured KindJury KindExaminer KindUncalibrated ScreenLine ScreenMade
    WhiteIs WhiteNotMeasured Distance DistanceLine ByMirror ClassNotKnown ByNotKnown NoExpiry StandardsOwn
    Calibration CalibrationLine WholeVisit FromTo NoBreaks BreakFromTo BreakOpen MadeClock EnteredBy
    NotOnRecord AgeTold NotOnRecordHead  Note VoidLine UndoneLine AmendedLine SeriesNumber
    EndedLine ProcedureLine ByExaminerLine ResumedLine RepairedLine NotClosed UncalibratedNote MarginNote
    NoDeviations LimitsHead LimitSession LimitLoss ClosedYes ClosedNo ChainLine ProgramLine
    SignatureHead SignedWith SignatureMeaning SignName SignMeaning SignDate SignSignature ChainHead SheetHead TrialsHead
    TrialsNote RatioIs RatioNone BaseRate OfInconsistent BudgetHead StandardU SourcesHead Number Began Purpose
    PresentedHead Answer Void AnswerYes AnswerNone AnswerEarly AfterS KOfNRight TakenBack PurposeFamiliarise
    PurposePractise PurposeMeasure PurposeRepeat PurposeScreen PurposeMasked PurposeSilent PurposeSweep PurposeBothEars
    PurposeForcedChoice PurposeCompany NoiseAt Silence
    FacingRight FacingUpRight FacingUp FacingUpLeft FacingLeft FacingDownLeft FacingDown FacingDownRight
    PersonTitle PersonIntro PersonHearing PersonSight PersonNext PersonAtOnce PersonHearingNot PersonSightNot
    PersonNotFitting PersonScreened PersonHearingHow PersonNoFigure PlainNormal PlainMild PlainModerate
    PlainModeratelySevere PlainSevere PlainProfound PersonSightHow PersonSightGood PersonSightLess
    PersonSightBest PersonSightWorst PersonAgain PersonUrgent PersonSoon PersonRoutine PersonNothing PersonTooLittle PersonAsk
    PersonSignHearing PersonSignSight PersonSignPain PersonSignFace PersonLimits
    KeyHead ByHandItem RateGenuineIn RateGenuineMixed RateRandom RateBar RatesFrom
    Sense GradeHead
    Digests CountsAre
    MeasuredBy SupervisedBy Room RoomLine RoomBands RoomLowest MissingPeople MissingPerson MissingRoom MissingEars
    AddByHand ElsewhereHead ElsewhereNote
    FurtherHead HowAsked AskedSingly AskedRows AskedOneSize AskedNearCard AskedByHand Pinhole Metres Fraction
    MUnits GuessingPasses RowsScoreAlike RowsScoreCorrected TwoDistances VisionCategory CategoryRests LimitsWithin
    FunctionalAcuity ToldOfEyes AnswerIsYes AnswerIsNo AnswerIsUnknown BeyondMeasuring ExtentMeasuring
    ExtentSweeps ExtentChoices
    SoundOutput SoundOutputLine BitsWithDither ListenedFirst Instructions WordsPlayed RecordingLine PlayedWhole PlayedNotWhole
    WhichEarPlayed MissingInstructions TakenUpLine AnswerNot Quoted
}

impl Lang {
    /// All languages.
    pub const ALL: [Lang; 2] = [Lang::English, Lang::German];

    /// Its tag (BCP 47).
    #[must_use]
    pub fn tag(self) -> &'static str {
        match self {
            Lang::English => "en",
            Lang::German => "de",
        }
    }

    /// The language of a tag.
    #[must_use]
    pub fn tagged(tag: &str) -> Option<Lang> {
        Lang::ALL.into_iter().find(|lang| lang.tag() == tag)
    }

    /// A text.
    #[must_use]
    pub fn text(self, key: Key) -> &'static str {
        match self {
            Lang::English => en::text(key),
            Lang::German => de::text(key),
        }
    }

    /// A text with its places, `{0}`, `{1}` and so on, filled.
    #[must_use]
    pub fn fill(self, key: Key, parts: &[&str]) -> String {
        let mut text = self.text(key).to_owned();
        for (place, part) in parts.iter().enumerate() {
            text = text.replace(&format!("{{{place}}}"), part);
        }
        text
    }

    /// What the findings say in English, in this language; none where it is not known in it.
    #[must_use]
    pub fn said(self, english: &str) -> Option<String> {
        match self {
            Lang::English => Some(english.to_owned()),
            Lang::German => phrases::german(english),
        }
    }

    /// A text of figures and units with the language's decimal sign.
    #[must_use]
    pub fn digits(self, text: &str) -> String {
        match self {
            Lang::English => text.to_owned(),
            Lang::German => phrases::with_commas(text),
        }
    }

    /// A number with as many decimals as it has, three at most.
    #[must_use]
    pub fn short(self, value: f64) -> String {
        let text = self.number(value, 3);
        let text = text.trim_end_matches('0').trim_end_matches(['.', ',']);
        text.to_owned()
    }

    /// A number with the language's decimal sign, a true minus and no negative zero.
    #[must_use]
    pub fn number(self, value: f64, decimals: usize) -> String {
        let text = format!("{value:.decimals$}");
        let text = match text.strip_prefix('-') {
            Some(digits) if digits.chars().all(|c| c == '0' || c == '.') => digits.to_owned(),
            Some(digits) => format!("\u{2212}{digits}"),
            None => text,
        };
        self.decimal(&text)
    }

    /// Figures in text, such as a fraction, with the language's decimal sign.
    #[must_use]
    pub fn decimal(self, text: &str) -> String {
        match self {
            Lang::English => text.to_owned(),
            Lang::German => text.replace('.', ","),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(text: &str) -> Vec<String> {
        let mut all: Vec<String> = (0..9)
            .map(|place| format!("{{{place}}}"))
            .filter(|place| text.contains(place.as_str()))
            .collect();
        all.sort();
        all
    }

    #[test]
    fn every_text_says_something_and_has_the_same_places_in_every_language() {
        for key in Key::ALL {
            let english = places(Lang::English.text(*key));
            for lang in Lang::ALL {
                let text = lang.text(*key);
                assert!(!text.trim().is_empty(), "{key:?} in {lang:?}");
                assert_eq!(places(text), english, "{key:?} in {lang:?}");
                assert!(!text.contains("{}"), "{key:?}: a place has a number");
            }
        }
    }

    #[test]
    fn numbers_have_a_true_minus_and_no_negative_zero() {
        let number = |value, decimals| Lang::English.number(value, decimals);
        assert_eq!(number(-10.0, 0), "\u{2212}10");
        assert_eq!(number(-0.001, 2), "0.00");
        assert_eq!(number(0.3, 1), "0.3");
        assert_eq!(Lang::German.number(-0.3, 1), "\u{2212}0,3");
    }
}
