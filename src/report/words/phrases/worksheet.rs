//! The worksheet that comes with the program: its lines, grades and signs.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    ("not entered", "nicht eingetragen"),
    ("measured", "gemessen"),
    ("normal", "unauffällig"),
    ("abnormal", "auffällig"),
    ("not tested", "nicht geprüft"),
    ("not possible", "nicht möglich"),
    ("declined", "abgelehnt"),
    ("noted", "notiert"),
    (
        "mean of 0.5, 1, 2 and 4 kHz {} dB HL; {} frequencies",
        "Mittel aus 0,5, 1, 2 und 4 kHz {0} dB HL; {1} Frequenzen",
    ),
    (
        "{} frequencies, see the thresholds",
        "{0} Frequenzen, siehe Schwellen",
    ),
    (
        "mean of 0.5, 1, 2 and 4 kHz {}; {} frequencies",
        "Mittel aus 0,5, 1, 2 und 4 kHz {0}; {1} Frequenzen",
    ),
    (
        "{} frequencies as obtained, no thresholds",
        "{0} Frequenzen wie erhoben, keine Schwellen",
    ),
    (
        "{}, right: abnormal. Refer now if it is {}",
        "{0}, rechts: auffällig. Sofort überweisen bei: {1}",
    ),
    (
        "{}, left: abnormal. Refer now if it is {}",
        "{0}, links: auffällig. Sofort überweisen bei: {1}",
    ),
    (
        "{}: abnormal. Refer now if it is {}",
        "{0}: auffällig. Sofort überweisen bei: {1}",
    ),
    ("general", "allgemein"),
    (
        "hands and instruments cleaned before",
        "Hände und Instrumente vorher gereinigt",
    ),
    (
        "awake, speaks and follows what is asked",
        "wach, spricht und folgt Aufforderungen",
    ),
    (
        "face, lids and head at rest: even, no tilt, no scars",
        "Gesicht, Lider und Kopf in Ruhe: gleich, keine Schiefhaltung, keine Narben",
    ),
    ("nostril open", "Nasenloch frei"),
    (
        "smells and names a familiar scent",
        "riecht und benennt einen vertrauten Duft",
    ),
    ("acuity, correction worn", "Sehschärfe, getragene Korrektur"),
    ("field by confrontation", "Gesichtsfeld bei Konfrontation"),
    (
        "red looks as red as with the other eye",
        "Rot so rot wie mit dem anderen Auge",
    ),
    ("colour plates", "Farbtafeln"),
    (
        "disc seen with the ophthalmoscope",
        "Papille im Augenspiegel",
    ),
    (
        "swinging light: the lit pupil stays narrow",
        "Wechselbelichtung: beleuchtete Pupille bleibt eng",
    ),
    (
        "pupil in room light: size and shape",
        "Pupille bei Raumlicht: Größe und Form",
    ),
    (
        "pupil narrows to light, direct",
        "Pupille verengt sich auf Licht, direkt",
    ),
    (
        "pupil narrows to light in the other eye",
        "Pupille verengt sich auf Licht im anderen Auge",
    ),
    (
        "pupil narrows on looking near",
        "Pupille verengt sich beim Blick in die Nähe",
    ),
    ("lid opens", "Lid öffnet sich"),
    (
        "eyes turn in together for near",
        "Augen wenden sich gemeinsam zur Nähe",
    ),
    ("eyes straight at rest", "Augen in Ruhe gerade"),
    (
        "eye moves fully in all nine directions",
        "Auge bewegt sich voll in alle neun Richtungen",
    ),
    (
        "follows smoothly, jumps exactly",
        "folgt glatt, springt genau",
    ),
    (
        "no double vision; if there is: in which direction",
        "keine Doppelbilder; wenn doch: in welcher Richtung",
    ),
    (
        "no nystagmus; if there is: direction, and where it is strongest",
        "kein Nystagmus; wenn doch: Richtung, und wo am stärksten",
    ),
    (
        "light touch, brow (first branch)",
        "leichte Berührung, Stirn (erster Ast)",
    ),
    (
        "light touch, cheek (second branch)",
        "leichte Berührung, Wange (zweiter Ast)",
    ),
    (
        "light touch, jaw near the midline (third branch)",
        "leichte Berührung, Kiefer nahe der Mitte (dritter Ast)",
    ),
    (
        "sharp is felt as sharp, three branches",
        "spitz wird als spitz gespürt, drei Äste",
    ),
    (
        "numbness ends exactly at the midline",
        "Taubheit endet genau an der Mittellinie",
    ),
    (
        "vibration felt less on one side of the forehead",
        "Vibration auf einer Seite der Stirn schwächer",
    ),
    (
        "chewing muscles: bulk and clench",
        "Kaumuskeln: Umfang und Zubeißen",
    ),
    (
        "jaw opens straight, against resistance",
        "Kiefer öffnet sich gerade, gegen Widerstand",
    ),
    ("jaw jerk", "Masseterreflex"),
    (
        "corneal reflex, only by indication",
        "Hornhautreflex, nur bei Grund dazu",
    ),
    ("raises the brow", "runzelt die Stirn"),
    (
        "closes the eye against resistance",
        "schließt das Auge gegen Widerstand",
    ),
    (
        "shows the teeth, blows up the cheeks",
        "zeigt die Zähne, bläst die Wangen auf",
    ),
    (
        "taste on the front of the tongue",
        "Geschmack vorn auf der Zunge",
    ),
    ("hearing by tones", "Hören mit Tönen"),
    (
        "whispered voice or finger rub",
        "Flüstersprache oder Fingerreiben",
    ),
    (
        "fork of 512 Hz: air heard longer than bone",
        "Stimmgabel 512 Hz: Luft länger gehört als Knochen",
    ),
    (
        "fork of 512 Hz on the midline: heard where",
        "Stimmgabel 512 Hz in der Mitte: wo gehört",
    ),
    (
        "eyes stay on the target when the head is turned quickly",
        "Augen bleiben bei schneller Kopfdrehung am Ziel",
    ),
    (
        "stands feet together, eyes open, then closed",
        "steht mit geschlossenen Füßen, Augen offen, dann zu",
    ),
    (
        "walks heel to toe, ten steps",
        "geht Ferse an Zehe, zehn Schritte",
    ),
    ("palate rises evenly", "Gaumen hebt sich gleich"),
    (
        "gag reflex, only by indication",
        "Würgreflex, nur bei Grund dazu",
    ),
    ("voice and cough", "Stimme und Husten"),
    ("swallows a sip of water", "schluckt einen Schluck Wasser"),
    ("lifts the shoulder", "hebt die Schulter"),
    (
        "turns the head to this side against resistance",
        "dreht den Kopf zu dieser Seite gegen Widerstand",
    ),
    (
        "tongue at rest: bulk, no twitching",
        "Zunge in Ruhe: Umfang, kein Zucken",
    ),
    ("tongue comes out straight", "Zunge kommt gerade heraus"),
    (
        "tongue pushes against the cheek",
        "Zunge drückt gegen die Wange",
    ),
    (
        "moves, looks and answers otherwise when not examined",
        "bewegt sich, blickt und antwortet unbeobachtet anders",
    ),
    (
        "needed signs, repetition or another language",
        "brauchte Zeichen, Wiederholung oder eine andere Sprache",
    ),
    (
        "tired, in pain or frightened",
        "müde, in Schmerzen oder ängstlich",
    ),
    (
        "nearly fell, or had to be held",
        "fiel beinahe oder musste gehalten werden",
    ),
    (
        "hands and instruments cleaned after",
        "Hände und Instrumente nachher gereinigt",
    ),
    ("no widening", "keine Erweiterung"),
    ("slight", "leicht"),
    ("clear", "klar"),
    ("marked", "ausgeprägt"),
    ("brisk", "lebhaft"),
    ("slow", "träge"),
    ("full", "voll"),
    ("weak", "schwach"),
    ("closed", "geschlossen"),
    ("over the pupil's edge", "über dem Pupillenrand"),
    ("half over the pupil", "halb über der Pupille"),
    ("absent", "fehlt"),
    ("present", "vorhanden"),
    ("lids meet only with force", "Lider schließen nur mit Kraft"),
    ("lids do not meet", "Lider schließen nicht"),
    ("air longer", "Luft länger"),
    ("alike", "gleich"),
    ("bone longer", "Knochen länger"),
    ("middle", "Mitte"),
    ("not heard", "nicht gehört"),
    ("hoarse", "heiser"),
    ("straight", "gerade"),
    ("to the right", "nach rechts"),
    ("to the left", "nach links"),
    (
        "speech or alertness that changed within hours or days",
        "Sprache oder Wachheit, die sich in Stunden oder Tagen änderte",
    ),
    ("swollen discs", "Stauungspapillen"),
    (
        "a pupil that widens when the light swings to it, with new loss of sight or pain on moving the eye",
        "eine Pupille, die sich erweitert, wenn das Licht zu ihr wechselt, mit neuem Sehverlust oder \
         Schmerz beim Bewegen des Auges",
    ),
    (
        "new unequal pupils, above all with a drooping lid, pain or headache",
        "neue ungleiche Pupillen, vor allem mit hängendem Lid, Schmerz oder Kopfschmerz",
    ),
    (
        "a new drooping lid with a wide pupil, pain or double vision",
        "ein neu hängendes Lid mit weiter Pupille, Schmerz oder Doppelbildern",
    ),
    ("new double vision", "neue Doppelbilder"),
    (
        "no corneal reflex with a weak eye closure or a red eye",
        "fehlender Hornhautreflex mit schwachem Lidschluss oder rotem Auge",
    ),
    (
        "an eye that does not close: the cornea is in danger",
        "ein Auge, das nicht schließt: die Hornhaut ist in Gefahr",
    ),
    (
        "a face that became weak within hours or days, above all with arm or speech",
        "ein Gesicht, das in Stunden oder Tagen schwach wurde, vor allem mit Arm oder Sprache",
    ),
    ("sudden loss of hearing", "plötzlicher Hörverlust"),
    (
        "new unsteadiness with vertigo, headache or double vision",
        "neue Unsicherheit mit Schwindel, Kopfschmerz oder Doppelbildern",
    ),
];
