//! Reasons and notes that the program gives by itself.

use super::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    (
        "paused by the examiner",
        "von der untersuchenden Person unterbrochen",
    ),
    (
        "stopped by the examiner",
        "von der untersuchenden Person abgebrochen",
    ),
    ("declined by the person", "von der Person abgelehnt"),
    (
        "taken back by the examiner",
        "von der untersuchenden Person zurückgenommen",
    ),
    ("it was stopped", "es wurde angehalten"),
    (
        "the sound device ran dry",
        "dem Tongerät gingen die Daten aus",
    ),
    ("the sound device faltered", "das Tongerät stockte"),
    (
        "a sample passed the loudness ceiling and was cut off",
        "ein Wert überschritt die Lautstärkegrenze und wurde gekappt",
    ),
    (
        "the person's window changed while the ring was shown",
        "das Fenster der Person änderte sich, während der Ring gezeigt wurde",
    ),
    (
        "it is loud and was not confirmed",
        "es ist laut und wurde nicht bestätigt",
    ),
    ("not done as shown", "nicht wie angezeigt ausgeführt"),
    ("there is no sound output", "es gibt keinen Tonausgang"),
    (
        "there is no measured screen",
        "es gibt keinen vermessenen Bildschirm",
    ),
    (
        "The optotypes are wider or higher than the screen.",
        "Die Sehzeichen sind breiter oder höher als der Bildschirm.",
    ),
    (
        "it was paused when the program ended; P goes on",
        "beim Ende des Programms war unterbrochen; P setzt fort",
    ),
    (
        "taken up again by the examiner, after the task was explained",
        "von der untersuchenden Person nach Erklärung der Aufgabe wieder aufgenommen",
    ),
    (
        "confirmed by the examiner, held: up to {} sounds above {} dB",
        "von der untersuchenden Person mit gehaltener Taste bestätigt: bis zu {0} Töne über {1} dB",
    ),
    (
        "could not tell; asked for a guess",
        "konnte es nicht sagen; um ein Raten gebeten",
    ),
    (
        "the station did not say that it arrived whole",
        "die Station meldete nicht, dass es ganz ankam",
    ),
    (
        "the station said nothing of {} presentations in a row",
        "die Station meldete {0} Darbietungen nacheinander nicht",
    ),
    (
        "The sound device is gone. Plug it in again, then press 'Open the sound again'.",
        "Das Tongerät ist fort. Wieder anschließen, dann „Open the sound again“ drücken.",
    ),
    (
        "The sound device reports faults without end. Press 'Open the sound again'.",
        "Das Tongerät meldet fortwährend Fehler. „Open the sound again“ drücken.",
    ),
    (
        "The sound device has stopped asking for sound. Press 'Open the sound again'.",
        "Das Tongerät nimmt keinen Ton mehr ab. „Open the sound again“ drücken.",
    ),
    (
        "The system has led the sound to another output, or changed its format: the earphone's profile \
         does not hold there. Nothing more is played in this visit; lead the sound back, close the visit \
         and begin another.",
        "Das System hat den Ton auf einen anderen Ausgang gelegt oder sein Format geändert: das Profil des \
         Hörers gilt dort nicht. Bei diesem Termin wird nichts mehr abgespielt; den Ton zurücklegen, den \
         Termin schließen und einen neuen beginnen.",
    ),
    (
        "The person's window is on another display, or its scale changed: its pixels are not the measured \
         ones. Move it back, or end and measure the screen again.",
        "Das Fenster der Person liegt auf einem anderen Bildschirm, oder seine Skalierung änderte sich: \
         seine Pixel sind nicht die vermessenen. Zurückschieben, oder beenden und den Bildschirm neu \
         vermessen.",
    ),
];
