//! German.

use super::Key;

#[expect(
    clippy::too_many_lines,
    clippy::match_same_arms,
    reason = "one arm a text; equal ones today may part tomorrow"
)]
pub(super) fn text(key: Key) -> &'static str {
    match key {
        Key::RightEar => "Rechtes Ohr",
        Key::LeftEar => "Linkes Ohr",
        Key::RightEye => "Rechtes Auge",
        Key::LeftEye => "Linkes Auge",
        Key::BothEyes => "Beide Augen",
        Key::Audiogram => "Audiogramm, {0} in {1}.",
        Key::Acuity => "Sehschärfe, {0}: {1}.",
        Key::Thresholds => "Hörschwellen",
        Key::AsObtainedNoThresholds => "Werte wie erhoben, keine Schwellen",
        Key::NothingYet => "noch nichts",
        Key::AxisHz => "Hz",
        Key::NoResponseAt => "keine Antwort bei {0}",
        Key::OrBelow => "{0} oder darunter",
        Key::OrPoorer => "{0} oder schlechter",
        Key::HeardAt => "gehört bei {0}",
        Key::NotHeardAt => "nicht gehört bei {0}",
        Key::EitherEarRemark => "keine Schwelle: das andere Ohr kann geantwortet haben",
        Key::ScreeningRemark => "Siebtest, keine Schwelle",
        Key::LeansRemark => "stützt sich auf Nachbarfrequenzen: {0} % der Genauigkeit",
        Key::OtherEarMasked => "anderes Ohr vertäubt",
        Key::Ear => "Ohr",
        Key::FrequencyHz => "Frequenz, Hz",
        Key::ThresholdIn => "Schwelle, {0}",
        Key::AsObtainedIn => "Wie erhoben, {0}",
        Key::DbHl => "dB HL",
        Key::DbReExaminer => "dB gegen das Ohr der untersuchenden Person",
        Key::DbFs => "dB re Vollaussteuerung",
        Key::Interval90 => "90-%-Bereich des Mittelpunkts",
        Key::MeasuredAgain => "Wiederholung",
        Key::Remark => "Bemerkung",
        Key::KeyNoResponse => "keine Antwort am Höchstpegel",
        Key::KeyAtMinimum => "Antwort am Tiefstpegel",
        Key::KeyInterval => "90 % des Mittelpunkts",
        Key::KeyLeaning => "stützt sich auf Nachbarn",
        Key::KeyEitherEar => "eines der Ohren: schlechter",
        Key::KeyScreened => "Siebtest: gehört, nicht gehört",
        Key::KeyBeyond => "über dem Höchstpegel",
        Key::AsObtained => "wie erhoben",
        Key::PlusMinusLogMar => "{0} logMAR (u = {1})",
        Key::LogMarOf => "{0} logMAR",
        Key::Measured => "gemessen",
        Key::CountingFingers => "zählt Finger in {0} m",
        Key::HandMotion => "sieht Handbewegungen in {0} m",
        Key::LightPerception => "unterscheidet hell und dunkel",
        Key::NoLightPerception => "unterscheidet hell und dunkel nicht",
        Key::ScreenPassed => "liest {0} logMAR: {1} von {2} richtig",
        Key::ScreenNotPassed => "liest {0} logMAR nicht: {1} von {2} richtig",
        Key::BetterThanSmallest => "besser als das kleinste Gezeigte",
        Key::WorseThanLargest => "schlechter als das größte Gezeigte",
        Key::NotTested => "nicht geprüft",
        Key::Declined => "abgelehnt",
        Key::StoppedFor => "abgebrochen: {0}",
        Key::NotDecidedYet => "noch nicht entschieden",
        Key::EquivalentTo => "Entspricht {0}.",
        Key::MidpointBetween => "Der Mittelpunkt liegt mit 90 % zwischen {0} und {1} logMAR.",
        Key::SizeLogMar => "Größe, logMAR",
        Key::RightAnswers => "Richtig",
        Key::Shown => "Gezeigt",
        Key::Midpoint => "Mittelpunkt",
        Key::To => "{0} bis {1}",
        Key::Title => "Hören und Sehen",
        Key::Subject => {
            "Bericht über einen Termin am {0}: Hörschwellen, Sehschärfe und Übereinstimmung der Antworten"
        }
        Key::Months => {
            "Januar Februar März April Mai Juni Juli August September Oktober November Dezember"
        }
        Key::Date => "{0}. {1} {2}",
        Key::FootId => "Bericht {0} · {1}",
        Key::PageOf => "Seite {0} von {1}",
        Key::SimulatedMark => "SIMULIERTER AUFBAU: niemand wurde gemessen",
        Key::AnotherProgram => "ein anderes Programm",
        Key::Person => "Person",
        Key::VisitTime => "Termin",
        Key::PlanAndSetUp => "Plan und Aufbau",
        Key::ReportNumber => "Berichtsnummer",
        Key::InShort => "Auf einen Blick",
        Key::Hearing => "Hören",
        Key::Sight => "Sehen",
        Key::MeanOfFour => "Mittel aus 0,5, 1, 2 und 4 kHz",
        Key::AcuityHead => "Sehschärfe, Bruch für 6 m",
        Key::Exactness => "Genauigkeit",
        Key::Answers => "Antworten",
        Key::NoneToState => "keine Angabe",
        Key::ExpandedRange => "± {0} bis {1} dB",
        Key::ExpandedLogMar => "± {0} logMAR",
        Key::ExpandedIs => {
            "± ist die erweiterte Messunsicherheit (k = 2, etwa 95 %), beim Hören für einzelne Frequenzen. Falsch: so viele simulierte Menschen, die nach ihrer Wahrnehmung antworten, werden „nicht übereinstimmend“ eingestuft. Genauigkeit und Übereinstimmung sind zweierlei; keine steht für die andere."
        }
        Key::AtLeast => "mindestens",
        Key::NoMean => "{0} von {1} Pegeln gefunden, nicht alle, die ein Mittel braucht",
        Key::NoMeanOnScale => "{0} von {1} Pegeln gefunden, nicht in dB HL",
        Key::ScreenedHeard => "nur Siebtest: {0} von {1} Frequenzen gehört",
        Key::AsObtainedNoAcuity => "Wert wie erhoben, keine Sehschärfe",
        Key::NotDecided => "nicht entschieden",
        Key::Consistent => "übereinstimmend",
        Key::Mixed => "teilweise übereinstimmend",
        Key::Inconsistent => "nicht übereinstimmend",
        Key::TooFewAnswers => "zu wenige Antworten",
        Key::WronglyInconsistent => "falsch: {0}",
        Key::UnderPercent => "unter {0} %",
        Key::OverPercent => "über {0} %",
        Key::WhoGrade => "Grad der Person (WHO 2021, besseres Ohr): {0}.",
        Key::Handicap => "Hörbehinderung nach der Formel von 1979 (AAO-HNS/AMA): {0} %.",
        Key::AsObtainedNote => {
            "Wo Werte nur wie erhoben stehen, gibt es keine Mittelwerte und keine Grade."
        }
        Key::ComparedBelow => "Unten mit einem früheren Termin verglichen ({0}).",
        Key::LookFurther => "Anlass, weiter zu untersuchen",
        Key::NoCues => "Keines der geprüften Kriterien ist erfüllt; das beweist keine Gesundheit.",
        Key::NoCuesMeasured => {
            "Von dem, was gemessen wurde, ist keines der geprüften Kriterien erfüllt."
        }
        Key::UrgencyNote => "Zu wissen:",
        Key::UrgencyRoutine => "Gelegentlich:",
        Key::UrgencySoon => "Bald:",
        Key::UrgencyUrgent => "Noch heute:",
        Key::HearingThresholds => "Hörschwellen in Luftleitung",
        Key::HearingAsObtained => "Hören: Werte wie erhoben, keine Schwellen",
        Key::HearingScreened => "Hören, bei einem Pegel gesiebt",
        Key::HearingNotTested => "Das Hören wurde bei diesem Termin nicht geprüft.",
        Key::RowExpanded => "U (k = 2)",
        Key::RowMasking => "Vertäubung, dB EM",
        Key::RowPriorShare => "aus Vorwissen, %",
        Key::RowPresentations => "Messende Töne",
        Key::MaskingNotNeeded => "nicht nötig",
        Key::MaskingDone => "erfolgt",
        Key::MaskingNotDone => "nötig, nicht erfolgt",
        Key::MaskingFailed => "nicht zu vertäuben",
        Key::Screening => "Siebtest",
        Key::Level => "Pegel",
        Key::Found => "Befund",
        Key::AnsweredOf => "Beantwortet",
        Key::ScreenHeard => "gehört",
        Key::ScreenNotHeard => "nicht gehört",
        Key::KOfN => "{0} von {1}",
        Key::RemarkUncertainty => {
            "U vereint Kalibrierung, Art und Sitz des Hörers, den Raum und die Antworten (ISO 8253-1, Anhang A). Balken im Bild: 90 % des Mittelpunkts, allein aus den Antworten."
        }
        Key::RemarkNoUncertainty => {
            "Ohne gültiges Profil ist keine kombinierte Messunsicherheit anzugeben. Balken im Bild: 90 % des Mittelpunkts, allein aus den Antworten."
        }
        Key::RemarkLeaning => {
            "† stützt sich mindestens zur Hälfte auf Vorwissen und Nachbarfrequenzen: keine Schwelle aus eigenen Antworten."
        }
        Key::RemarkAtMinimum => {
            "≤: am tiefsten Pegel beantwortet, die Schwelle liegt dort oder darunter."
        }
        Key::RemarkMasked => {
            "Vertäubung: leisestes und lautestes Rauschen am anderen Ohr, über dem die Schwelle blieb, dB effektiver Vertäubungspegel."
        }
        Key::RemarkNoMasking => "Nach dem Unterschied der Ohren war keine Vertäubung nötig.",
        Key::RemarkPoorer => {
            "„Oder schlechter“: dort ohne Vertäubung beantwortet, von welchem Ohr, ist nicht bekannt."
        }
        Key::SightAcuity => "Sehschärfe",
        Key::SightAsObtained => "Sehen: Werte wie erhoben, keine Sehschärfe",
        Key::SightNotTested => "Das Sehen wurde bei diesem Termin nicht geprüft.",
        Key::Eye => "Auge",
        Key::AtDistance => "auf {0} m",
        Key::AtFeet => "auf 20 ft",
        Key::DecimalAcuity => "dezimal",
        Key::ByLetter => "je Zeichen",
        Key::NearestLines => "Zeilen in 90 %",
        Key::Correction => "Korrektur",
        Key::BetterThan => "besser als {0}",
        Key::WorseThan => "schlechter als {0}",
        Key::Landolt8 => "Landoltringe in 8 Richtungen",
        Key::Landolt4 => "Landoltringe in 4 Richtungen",
        Key::TumblingE => "E-Haken in 4 Richtungen",
        Key::SloanLetters => "zehn Sloan-Buchstaben",
        Key::HotvLetters => "Buchstaben H, O, T, V",
        Key::Crowded => "mit Balken daneben",
        Key::NotCrowded => "einzeln stehend",
        Key::ShownAs => "Gezeigt: {0}, {1}.",
        Key::RemarkSight => {
            "logMAR: die Größe, die mit den 60 % der ISO 8596 erkannt wird; die Brüche haben die wirkliche Entfernung, 6 m und 20 ft sind gleichwertig umgerechnet."
        }
        Key::RowsScore => {
            "{0}, Zeilen Zeichen für Zeichen gelesen: {1} logMAR, {2} von {3} Zeichen."
        }
        Key::AnswersHead => "Wie weit die Antworten übereinstimmen",
        Key::LookedAt => "Was betrachtet wurde",
        Key::Seen => "Gesehen",
        Key::Expected => "Zu erwarten, und woher",
        Key::Looks => "Wertung",
        Key::FitFits => "wie erwartet",
        Key::FitDoubtful => "unüblich",
        Key::FitMisfits => "weit außerhalb",
        Key::ErrorRates => {
            "{0}, wie oft der Grad irrt: von Menschen, die antworten, was sie wahrnehmen, werden {1} als nicht und {2} als teilweise übereinstimmend eingestuft; nicht so eingestuft werden {3} von denen, die zufällig antworten, und {4} von denen, die erst über einer eigenen Schranke antworten. Raten"
        }
        Key::SilentInterval => {
            "Stille Darbietungen beantwortet: {0} von {1}, exakter 95-%-Bereich {2} bis {3} %."
        }
        Key::NextSteps => "Nächste Schritte, wenn Antworten nicht zueinander passen",
        Key::NextLook => {
            "Zuerst nach harmlosen Ursachen sehen: Verständnis, Aufmerksamkeit, Ohrgeräusche, Sitz des Hörers, Brille, Spiegel, Lärm und Licht im Raum."
        }
        Key::NextObjectiveSight => {
            "Sehen ohne Antworten: Skiaskopie, Pupillen, evozierte Potentiale, Bildgebung wo angezeigt."
        }
        Key::NextDisease => {
            "Fehlende Übereinstimmung schließt einen wirklichen Verlust nie aus: etwa bei der Hälfte derer, deren Befunde nicht zusammenpassten, war auch etwas krankhaft."
        }
        Key::ByHandHead => "Von Hand geprüft",
        Key::ByHandNone => {
            "Bei diesem Termin wurde nichts von Hand geprüft: kein Arbeitsblatt, keine Serien."
        }
        Key::NoWorksheet => "Bei diesem Termin wurde kein Arbeitsblatt angelegt.",
        Key::NotEnteredMeans => {
            "Eine nicht eingetragene Zeile sagt nichts, am wenigsten unauffällig. Hören und Sehschärfe stammen aus der Messung."
        }
        Key::SeriesHead => "Serien, deren Folge nicht zu erraten war",
        Key::NotConcluded => "Was aus den Serien nicht geschlossen werden darf",
        Key::ReferNow => "Sofort überweisen, was auch gefunden wurde:",
        Key::SideRight => "rechts",
        Key::SideLeft => "links",
        Key::Nerve => "Nerv",
        Key::WhatLookedAt => "Was",
        Key::SideHead => "Seite",
        Key::HowMuch => "Wie viel",
        Key::Comment => "Bemerkung",
        Key::ByWhom => "Von, um",
        Key::EnteredTimes => "{0}-mal eingetragen, die letzte zählt",
        Key::Series => "Serie",
        Key::Prompts => "Aufgaben",
        Key::BesideGuessing => "Neben dem Raten",
        Key::CountsHead => "Zahlen, mit exakten 95-%-Bereichen",
        Key::AnsweredOfPrompts => "{0} von {1} beantwortet",
        Key::VoidCount => "{0} ungültig",
        Key::UndoneCount => "{0} zurückgenommen",
        Key::StoppedEarly => "abgebrochen",
        Key::UnderWay => "noch im Gang",
        Key::OnPaper => "auf Papier",
        Key::ExtentRow => "{0}: {1} cm auf 1 m, {2} cm auf 2 m, Verhältnis {3}",
        Key::RateOf => "{0} von {1} ({2} bis {3} %)",
        Key::SidesCompared => "rechts {0}, links {1}, exakt nach Fisher p = {2}: {3}",
        Key::StandsOut => "fällt auf",
        Key::StandsNotOut => "fällt nicht auf",
        Key::ChangesHead => "Veränderung gegenüber einem früheren Termin",
        Key::ChangesWithheld => {
            "Ein früherer Termin ist bekannt; Veränderungen werden nicht genannt, weil die Werte nur wie erhoben oder nicht in dB HL sind."
        }
        Key::DayNotKnown => "Tag nicht bekannt",
        Key::ComparedWith => "Verglichen mit {0}, {1}. Positiv heißt schlechter als zuvor.",
        Key::NothingToCompare => {
            "Kein Ohr hat bei einer Frequenz in beiden Terminen eine Schwelle."
        }
        Key::Then => "damals, dB HL",
        Key::Now => "jetzt, dB HL",
        Key::ChangeDb => "Änderung, dB",
        Key::RetestU => "u zweier Termine, dB",
        Key::BeyondRetest => "näher bei Wiederholung",
        Key::ChangesNote => {
            "Näher bei Wiederholung: wie wahrscheinlich zwei Termine eines unveränderten Ohrs näher beieinander liegen. Ein großer Wert unter vielen ist zu erwarten."
        }
        Key::ConditionsHead => "Wie gemessen wurde",
        Key::MethodHead => "Verfahren",
        Key::SetUpHead => "Aufbau",
        Key::TimesHead => "Zeiten und Pausen (UTC)",
        Key::WhoHead => "Wer und wo",
        Key::DeviationsHead => "Abweichungen und ungültige Darbietungen",
        Key::NotInPlan => "nicht im Plan, nicht geprüft.",
        Key::Tones => "Töne",
        Key::Masking => "Vertäubung",
        Key::Presented => "Dargeboten",
        Key::CountsLine => {
            "{0} Töne, {1} stille, {2} wiederholte, {3} Sehzeichen; {4} ungültig, {5} zurückgenommen."
        }
        Key::MethodScreening => {
            "Siebtest bei {0} dB HL: gehört bei zwei Antworten, nicht gehört bei zwei Auslassungen."
        }
        Key::MethodEstimate => {
            "alle Frequenzen beider Ohren gemeinsam: jeder Ton dort, wo er am meisten sagt; angegeben ist, was 2 von 3 Aufstiegen bei solchen Antworten im Mittel ergäben."
        }
        Key::MethodAscents => {
            "Aufstiege, {0} dB ab nach einer Antwort, {1} dB auf ohne; Schwelle: der tiefste Pegel, der von seinen letzten {3} von unten {2}-mal beantwortet wurde (ISO 8253-1:2010, 6.2.3.2)."
        }
        Key::MethodBracketing => {
            "Eingabeln: {1} Auf- und {1} Abstiege im Wechsel in Schritten von {0} dB (ISO 8253-1:2010, 6.2.3.3)."
        }
        Key::TonesLine => {
            "{0}, {1} s, nach einer neu gelosten Stille von {2} bis {3} s; {4} % aller Plätze still."
        }
        Key::SignalSteady => "Dauertöne",
        Key::SignalPulsed => "gepulste Töne",
        Key::SignalWarble => "Wobbeltöne",
        Key::MaskingPlanNone => "nicht durch das Verfahren.",
        Key::MaskingPlanPlateau => {
            "Plateau mit Schmalbandrauschen, Schritte von {0} dB, über {1} dB, innerhalb von {2} dB; ab {3} dB vor der kleinsten interauralen Dämpfung."
        }
        Key::MethodOneSize => "{0}, nur eine Größe ({1} logMAR): {2} von {3} richtig genügen",
        Key::MethodNearCard => "{0}, Zeilen der Nahtafel {1}, in der Nähe gelesen und eingegeben",
        Key::MethodByHand => "mit der Hand: Finger zählen, Handbewegung, Licht",
        Key::SeenByHand => "gesehen",
        Key::NotSeenByHand => "nicht gesehen",
        Key::MethodAdaptive => {
            "eins nach dem anderen, jedes in der Größe, die am meisten sagt: {0}; Auswahl aus {1}, Raten erwünscht."
        }
        Key::MethodRows => {
            "Fünferzeilen, Zeichen für Zeichen gelesen: {0}; eine Zeile mit {1} Fehlern beendet."
        }
        Key::CrowdedNote => "Mit einem Balken auf jeder Seite.",
        Key::ReverseNote => "Weiß auf Schwarz.",
        Key::ShownFor => "Je {0} s gezeigt.",
        Key::LettersCorrected => "Zeichen nach ihrer Leichtigkeit korrigiert.",
        Key::Earphone => "Hörer",
        Key::NoEarphone => "keiner: das Hören war nicht zu prüfen.",
        Key::EarphoneDigest => "Hörer",
        Key::ScreenDigest => "Bildschirm",
        Key::Screen => "Bildschirm",
        Key::NoScreen => "keiner: das Sehen war nicht zu prüfen.",
        Key::KindSimulated => "erfunden, nur für simulierte Menschen",
        Key::KindMeasured => "gemessen",
        Key::KindJury => "Nullpunkt von Hörenden am selben Ausgang",
        Key::KindExaminer => "eigene Ohren der untersuchenden Person",
        Key::KindUncalibrated => "nicht kalibriert",
        Key::ScreenLine => "{0}, {1}; Bildpunkte von {2} mm (u {5} %), {3} mal {4}.",
        Key::ScreenMade => "Vermessen {0}; {1}.",
        Key::WhiteIs => "Weiß {0} cd/m²",
        Key::WhiteNotMeasured => "Weiß nicht mit Messgerät gemessen",
        Key::Distance => "Entfernung",
        Key::DistanceLine => "{0} m (u {1} %)",
        Key::ByMirror => ", über einen Spiegel",
        Key::ClassNotKnown => "Bauart nicht bekannt",
        Key::ByNotKnown => "von wem, ist nicht vermerkt",
        Key::NoExpiry => "kein Ablauf",
        Key::StandardsOwn => "die Werte der Norm",
        Key::Calibration => "Kalibrierung",
        Key::CalibrationLine => {
            "{0}; Pegel in {1}; erstellt {2}, {3}; gültig bis {4}; u der Pegel: {5}."
        }
        Key::WholeVisit => "Ganzer Termin",
        Key::FromTo => "{0} bis {1}",
        Key::NoBreaks => "Keine Pause.",
        Key::BreakFromTo => "Pause {0} bis {1}: {2}.",
        Key::BreakOpen => "Pause ab {0}, nicht beendet: {1}.",
        Key::MadeClock => "Die Uhr eines simulierten Termins ist gesetzt, nicht abgelesen.",
        Key::EnteredBy => "Von Hand eingetragen von",
        Key::NotOnRecord => "nicht vermerkt",
        Key::AgeTold => "Alter nach Angabe, Jahre",
        Key::NotOnRecordHead => "Im Protokoll dieses Termins nicht vermerkt",
        Key::Note => "Notiz",
        Key::VoidLine => "{0} ungültig, nicht gezählt: {1} (Nummer {2}).",
        Key::UndoneLine => "Nummer {0} zurückgenommen ({1}): {2}.",
        Key::AmendedLine => "Antwort auf Nummer {0} von „{1}“ zu „{2}“ berichtigt ({3}): {4}.",
        Key::AnswerNot => "nicht beantwortet",
        Key::TakenUpLine => "{0} wieder aufgenommen: {1}.",
        Key::SeriesNumber => "Serie {0}",
        Key::EndedLine => "{0} vorzeitig beendet: {1}.",
        Key::ProcedureLine => "Das Verfahren wechselte während des Termins zu „{0}“.",
        Key::ByExaminerLine => "{0} Darbietungen hat die untersuchende Person von Hand gewählt.",
        Key::ResumedLine => "Fortgesetzt, nachdem das Programm geendet hatte: {0}-mal.",
        Key::RepairedLine => "Eine abgeschnittene letzte Zeile wurde entfernt: {0}-mal.",
        Key::NotClosed => "Der Termin wurde nicht geschlossen: dieser Bericht zeigt einen Teil.",
        Key::UncalibratedNote => {
            "Pegel sind re Vollaussteuerung; die Begrenzung beruht auf einer Annahme über den Hörer."
        }
        Key::MarginNote => {
            "Die Vertäubung beginnt vorsichtshalber früher als beim veröffentlichten Unterschied (Vorlauf oben)."
        }
        Key::NoDeviations => "Keine; keine Darbietung war ungültig.",
        Key::LimitsHead => "Grenzen und Hinweise",
        Key::LimitSession => {
            "Die Werte gelten nur für diese Person, diesen Aufbau und diese Zeit; Folgerung, Diagnose, Ursache oder eine Fähigkeit sind nicht Teil dieses Berichts."
        }
        Key::LimitLoss => {
            "Tastendruck und Richtungsnennung sind Verhalten: sie hängen von Anleitung, Aufmerksamkeit und Raum ab."
        }
        Key::ClosedYes => "der Termin wurde geschlossen",
        Key::ClosedNo => "der Termin wurde nicht geschlossen",
        Key::ChainLine => {
            "{0}, {1} Zeilen, {2}. Wer das Protokoll hat, kann prüfen, dass dieser Bericht zu ihm gehört: „veridical check“."
        }
        Key::ProgramLine => "Erstellt von {0}; Mathematik {1} im Termin, {2} in diesem Bericht.",
        Key::SignatureHead => "Unterschrift",
        Key::SignedWith => {
            "Das Protokoll wurde am {0} bis zum Kopf unten signiert (Ed25519), mit dem Schlüssel {1}. Das zeigt denen, die diesen Schlüssel anderswoher kennen, dass es seither unverändert ist; ein Papier unterschreibt es nicht."
        }
        Key::SignatureMeaning => {
            "Nichtzutreffendes streichen: ich habe gemessen, ich habe geprüft, ich gebe frei. Die Unterschrift gilt für den Kopf der Kette unten."
        }
        Key::SignName => "Name und Qualifikation",
        Key::SignMeaning => "gemessen · geprüft · freigegeben",
        Key::SignDate => "Datum und Uhrzeit",
        Key::SignSignature => "Unterschrift",
        Key::ChainHead => "Kopf der Kette (SHA-256):",
        Key::SheetHead => "Blatt zum Verfahren",
        Key::TrialsHead => "Jede Darbietung",
        Key::TrialsNote => {
            "In der Folge des Protokolls, auch ungültige und zurückgenommene; Zeiten in UTC."
        }
        Key::RatioIs => {
            "{0}: log10 des Evidenzverhältnisses {1}, soweit es gezeigt werden darf. Es wägt Modelle des Antwortens gegeneinander; es ist keine Wahrscheinlichkeit über einen Menschen und steht sonst nirgends in diesem Bericht."
        }
        Key::RatioNone => {
            "{0}: ein Evidenzverhältnis wird nicht genannt; es sind zu wenige Antworten."
        }
        Key::BaseRate => "Von 100 Menschen antworten nicht, was sie wahrnehmen",
        Key::OfInconsistent => "von 100 „nicht übereinstimmend“ Eingestuften (95-%-Grenzen)",
        Key::BudgetHead => "Messunsicherheit jeder Schwelle, dB",
        Key::Quoted => "„{0}“",
        Key::StandardU => "u",
        Key::SourcesHead => "Woher die Kriterien stammen",
        Key::Number => "Nr.",
        Key::Began => "Beginn",
        Key::Purpose => "Zweck",
        Key::PresentedHead => "Dargeboten",
        Key::Answer => "Antwort",
        Key::Void => "ungültig",
        Key::AnswerYes => "beantwortet",
        Key::AnswerNone => "keine",
        Key::AnswerEarly => "zu früh zum Zählen",
        Key::AfterS => "nach {0} s",
        Key::KOfNRight => "{0} von {1} richtig",
        Key::TakenBack => "zurückgenommen",
        Key::PurposeFamiliarise => "zum Vertrautmachen",
        Key::PurposePractise => "zur Übung",
        Key::PurposeMeasure => "zum Messen",
        Key::PurposeRepeat => "noch einmal",
        Key::PurposeScreen => "Siebtest",
        Key::PurposeSweep => "Pegelreihe",
        Key::PurposeBothEars => "auf beiden Ohren",
        Key::PurposeForcedChoice => "erzwungene Wahl",
        Key::PurposeCompany => "nach Begleittönen",
        Key::PurposeMasked => "anderes Ohr vertäubt",
        Key::PurposeSilent => "still",
        Key::NoiseAt => "Rauschen {0} {1} dB EM",
        Key::Silence => "Stille",
        Key::FacingRight => "rechts",
        Key::FacingUpRight => "oben rechts",
        Key::FacingUp => "oben",
        Key::FacingUpLeft => "oben links",
        Key::FacingLeft => "links",
        Key::FacingDownLeft => "unten links",
        Key::FacingDown => "unten",
        Key::FacingDownRight => "unten rechts",
        Key::PersonTitle => "Was Ihre Untersuchung ergab",
        Key::PersonIntro => {
            "Dieses Blatt ist für Sie. Es sagt in einfachen Worten, was heute gemessen wurde. Den ganzen Bericht hat die Person, die Sie untersucht hat."
        }
        Key::PersonHearing => "Ihr Hören",
        Key::PersonSight => "Ihr Sehen",
        Key::PersonNext => "Wie es weitergeht",
        Key::PersonAtOnce => "Holen Sie noch heute Hilfe",
        Key::PersonHearingNot => "Ihr Hören wurde heute nicht geprüft.",
        Key::PersonSightNot => "Ihr Sehen wurde heute nicht geprüft.",
        Key::PersonNotFitting => {
            "Ihre Antworten passten nicht gut genug zusammen für ein Ergebnis. Dafür gibt es viele Gründe: Müdigkeit, Unsicherheit, was zu tun ist, Ohrgeräusche, Krankheit und andere. Über den Grund sagt es nichts. Die Untersuchung sollte wiederholt werden."
        }
        Key::PersonScreened => {
            "Sie haben Töne bei einer festen Lautstärke gehört. Das ist nur ein erster Blick, keine ganze Untersuchung."
        }
        Key::PersonHearingHow => {
            "Sie hörten Töne von tief bis hoch und drückten, wenn Sie einen hörten. Die leisesten, auf die Sie antworteten, sagen, wie gut jedes Ohr hört:"
        }
        Key::PersonNoFigure => {
            "es gibt keine einzelne Zahl; fragen Sie die Person, die Sie untersucht hat."
        }
        Key::PlainNormal => "hört leise Töne gut.",
        Key::PlainMild => "überhört manche leise Sprache, vor allem im Lärm.",
        Key::PlainModerate => "kann gewöhnlichen Gesprächen schwer folgen.",
        Key::PlainModeratelySevere => {
            "hört laute Sprache; gewöhnliche Gespräche sind auch in Ruhe schwer."
        }
        Key::PlainSevere => "hört sehr laute Sprache aus der Nähe.",
        Key::PlainProfound => "hört ohne Hilfe kaum Sprache.",
        Key::PersonSightHow => {
            "Sie benannten Ringe oder Buchstaben, die kleiner wurden, mit oder ohne Brille, wie der Bericht es angibt:"
        }
        Key::PersonSightGood => {
            "was Sie aus 6 Metern erkennen, erkennt übliches Sehen aus etwa {0} Metern. Das ist gutes Sehen."
        }
        Key::PersonSightLess => {
            "was Sie aus 6 Metern erkennen, erkennt übliches Sehen aus etwa {0} Metern."
        }
        Key::PersonSightBest => "Sie benannten sogar das Kleinste, das sich zeigen ließ.",
        Key::PersonSightWorst => {
            "das Größte, das sich zeigen ließ, war nicht zu erkennen; das sollte genauer untersucht werden."
        }
        Key::PersonAgain => {
            "Lassen Sie die Untersuchung an einem anderen Tag ausgeruht wiederholen."
        }
        Key::PersonUrgent => {
            "Es wurde etwas gefunden, das noch heute angesehen werden sollte. Sprechen Sie mit der Person, die Sie untersucht hat, bevor Sie gehen."
        }
        Key::PersonSoon => {
            "Es wurde etwas gefunden, das bald angesehen werden sollte. Fragen Sie, wie und wo."
        }
        Key::PersonRoutine => {
            "Es wurde etwas gefunden, das bei Gelegenheit angesehen werden sollte. Bitten Sie um einen Termin."
        }
        Key::PersonNothing => {
            "Es wurde nichts gefunden, das jetzt angesehen werden muss. Kommen Sie wieder, wenn sich etwas ändert."
        }
        Key::PersonTooLittle => {
            "Es wurde nichts gefunden, das jetzt angesehen werden muss; für mehr wurde aber zu wenig untersucht. Kommen Sie wieder, wenn sich etwas ändert."
        }
        Key::PersonAsk => {
            "Fragen Sie, was Sie wissen möchten. Sie können den ganzen Bericht bekommen."
        }
        Key::PersonSignHearing => {
            "Hören, das in Stunden oder Tagen verschwand, auf einem oder beiden Ohren"
        }
        Key::PersonSignSight => {
            "Sehen, das plötzlich verschwand, Blitze, ein Vorhang oder Schatten, neue Doppelbilder"
        }
        Key::PersonSignPain => {
            "ein rotes und schmerzendes Auge, ein Ohr, das läuft oder sehr schmerzt"
        }
        Key::PersonSignFace => {
            "ein schwaches Gesicht oder ein schwacher Arm, Mühe beim Sprechen, plötzlicher Schwindel mit Kopfschmerz"
        }
        Key::PersonLimits => {
            "Diese Untersuchung ist ein Messhilfsmittel. Sie ist nicht zertifiziert und keine Diagnose."
        }
        Key::KeyHead => "Zeichen",
        Key::ByHandItem => "Von Hand",
        Key::RateGenuineIn => "antworten nach Wahrnehmung, „nicht übereinstimmend“",
        Key::RateGenuineMixed => "ebenso, „teilweise übereinstimmend“",
        Key::RateRandom => "antworten zufällig, nicht so eingestuft",
        Key::RateBar => "antworten erst über eigener Schranke, nicht so eingestuft",
        Key::RatesFrom => "Raten",
        Key::Sense => "Sinn",
        Key::GradeHead => "Antworten sind",
        Key::Digests => "Profile, SHA-256",
        Key::SoundOutput => "Tonausgang",
        Key::SoundOutputLine => "{0}, {1} Hz, {2}; u einer Antwortzeit {3} ms.",
        Key::BitsWithDither => "{0} Bit mit Dither",
        Key::ListenedFirst => {
            "Die untersuchende Person hörte zuerst, von Stille an: gehört bei {0}."
        }
        Key::Instructions => "Anleitung",
        Key::WordsPlayed => "Wörter",
        Key::RecordingLine => "Aufnahme „{0}“{1}, {2}.",
        Key::PlayedWhole => "bis zum Ende abgespielt",
        Key::PlayedNotWhole => "nicht bis zum Ende abgespielt",
        Key::WhichEarPlayed => "Leise Töne prüften, welches Ohr welches ist.",
        Key::MissingInstructions => "Wortlaut der Anleitung",
        Key::CountsAre => "Richtig von gezeigt, je Größe in logMAR.",
        Key::MeasuredBy => "Tätig",
        Key::SupervisedBy => "unter Aufsicht von {0}",
        Key::Room => "Raum",
        Key::RoomLine => "{0}, gemessen {1} von {2}, gültig bis {3}; u {4} dB.",
        Key::RoomBands => "Lautestes, dB SPL je Terz in Hz: {0}.",
        Key::RoomLowest => {
            "Tiefster Pegel, der dort behauptet werden darf (ISO 8253-1; ? nicht zu sagen), dB HL je Hz: {0}."
        }
        Key::MissingPeople => "wer untersuchte, Qualifikation, Aufsicht",
        Key::MissingPerson => {
            "Einrichtung, Geburtsdatum, wie die Identität geprüft wurde, Fragestellung, Einwilligung, Dolmetschen"
        }
        Key::MissingRoom => "Lärm und Licht im Raum",
        Key::MissingEars => {
            "Blick in die Ohren, letzter Lärm, Erkältung, Ohrgeräusche; Hörprobe des Tages"
        }
        Key::AddByHand => "Wo es zählt, von Hand zu ergänzen.",
        Key::ElsewhereHead => "Anderswo gefunden",
        Key::FurtherHead => "Unter anderen Bedingungen gefragt",
        Key::HowAsked => "wie gefragt",
        Key::AskedSingly => "einzeln",
        Key::AskedRows => "Zeilen",
        Key::AskedOneSize => "eine Größe",
        Key::AskedNearCard => "Nahtafel",
        Key::AskedByHand => "von Hand",
        Key::Pinhole => "Lochblende",
        Key::Metres => "{0} m",
        Key::Fraction => "Bruch",
        Key::MUnits => "{0} (M\u{a0}{1})",
        Key::GuessingPasses => {
            "{0}, eine Größe: {1} von höchstens {2} richtig bestehen; Raten besteht {3} von 1000 Malen."
        }
        Key::RowsScoreAlike => "alle Zeichen zählen gleich",
        Key::RowsScoreCorrected => {
            "die Sehschärfe berichtigt um leichtere und schwerere Buchstaben"
        }
        Key::TwoDistances => "{0}, zwei Entfernungen",
        Key::VisionCategory => "Stufe der Sehbeeinträchtigung (ICD-11, besseres Auge): {0}.",
        Key::CategoryRests => "Stufe der Sehbeeinträchtigung",
        Key::LimitsWithin => "in ihrer Unsicherheit liegt die Grenze {0}",
        Key::FunctionalAcuity => {
            "Funktioneller Sehschärfewert {0}, U (k = 2) {1}; Beeinträchtigung der Sehschärfe allein {2} %"
        }
        Key::ToldOfEyes => "Über die Augen berichtet",
        Key::AnswerIsYes => "ja",
        Key::AnswerIsNo => "nein",
        Key::AnswerIsUnknown => "nicht bekannt",
        Key::BeyondMeasuring => {
            "Über das Messen hinaus dargeboten, danach richten sich die Raten: Hören, {0}; Sehen, {1}."
        }
        Key::ExtentMeasuring => "nichts",
        Key::ExtentSweeps => "Durchläufe und Töne in beiden Ohren",
        Key::ExtentChoices => "auch erzwungene Wahlen",
        Key::ElsewhereNote => {
            "Nach Angabe, von Hand eingetragen; nicht bei diesem Termin gemessen, und kein Wert oben beruht darauf."
        }
    }
}
