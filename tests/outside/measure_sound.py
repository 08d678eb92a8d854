"""Measures what the program plays, from captures of its output, and prints the table of figures.

Usage: measure_sound.py PLAYER [ONSETS]

PLAYER is the bench `sound` (benches/sound.rs), built with optimisation. It plays presentations on
ALSA's default output, here a file of raw samples behind the same layers that a sound server sits
behind; all that is measured is measured on that file, by numpy and scipy. Only the frames at which
presentations are said to begin come from the program, and they are checked.

Bars stand beside the figures. Limits of tones, pulses and noises are those of IEC 60645-1:2017 as
far as they could be read: pulsed tones in the reference manual of a sound level meter that prints
them, the others from memory. Exit 1 if a figure misses its bar.
"""

import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time
import tomllib

import numpy as np
from scipy.signal import hilbert, welch

ROOT = pathlib.Path(__file__).resolve().parents[2]
HZ = [125.0, 250.0, 500.0, 750.0, 1000.0, 1500.0, 2000.0, 3000.0, 4000.0, 6000.0, 8000.0]
RATES_HZ = [44_100, 48_000, 88_200, 96_000, 176_400, 192_000]
EARS = ["left", "right"]  # in the order of the channels
SEED = 20_261_126
# ISO 389-8:2004, table 1, circumaural earphone, dB re 20 uPa.
RETSPL_DB = dict(zip(HZ, [30.5, 18.0, 11.0, 6.0, 5.5, 5.5, 4.5, 2.5, 9.5, 17.0, 17.5]))
# ISO 389-4:1994, one-third-octave noise at 0 dB effective masking level, dB over the tone (from memory).
MASKING_DB = dict(zip(HZ, [4, 4, 4, 5, 6, 6, 6, 6, 5, 5, 5]))
# The example's levels at full scale, by channel and frequency.
EXAMPLE = ROOT / "calibration/example-circumaural.toml"
FULL_SCALE_DB = {
    (ear, row["hz"]): row[f"{ear}_db_spl"]
    for row in tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))["full_scale"]
    for ear in EARS
}
CONF = """
pcm.!default {{ type plug slave {{ pcm "capture" {sink} }} }}
pcm.capture {{
    type file
    slave.pcm {{ type null }}
    format "raw"
    file "{capture}"
    perm 0600
}}
pcm.null {{ type null }}
"""
SINKS = {"float": ("", "<f4", 1.0), "16": ('format "S16_LE"', "<i2", 1.0 / 32768.0)}
missed = []


def row(name, figure, holds=True):
    """A line of the table."""
    print(f"{'  ' if holds else '! '}{name}: {figure}", flush=True)
    if not holds:
        missed.append(name)


def sound(ear, signal, hz, scale, level_db, start_s, end_s):
    return {"ear": ear, "signal": signal, "hz": hz, f"level_db_{scale}": level_db, "start_s": start_s, "end_s": end_s}


def presentation(window_s, *parts):
    return {"task": "detect", "window_s": window_s, "parts": list(parts)}


class Played:
    """Presentations played one after the other, and what was captured."""

    def __init__(self, player, rate_hz, bits, presentations, sink="float", profile=False):
        layer, kind, step = SINKS[sink]
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            capture, conf, score = folder / "capture", folder / "conf", folder / "score"
            conf.write_text(CONF.format(sink=layer, capture=capture))
            score.write_text("".join(json.dumps(one) + "\n" for one in presentations))
            command = [player, "play", score, str(rate_hz), str(bits)] + ([EXAMPLE] if profile else [])
            environment = os.environ | {"ALSA_CONFIG_PATH": str(conf)}
            done = subprocess.run(command, env=environment, capture_output=True, text=True)
            if done.returncode:
                sys.exit(f"the player failed at {rate_hz} Hz: {done.stderr.strip()}")
            self.events = [json.loads(line) for line in done.stdout.splitlines()]
            raw = np.fromfile(capture, dtype=kind)
        self.samples = raw[: raw.size // 2 * 2].reshape(-1, 2)
        self.step = step
        self.whole = sum(event["arrival"] == "Whole" for event in self.events)

    def slot(self, number):
        """The samples of a presentation, re full scale, and the frames of its sounds."""
        event = self.events[number]
        return self.samples[event["began"] : event["ended"]].astype(np.float64) * self.step, event["spans"]


def fitted(samples, hz, rate_hz, first=0):
    """The sine of this frequency that fits best (IEEE Std 1057, three parameters): its amplitude, its
    phase, and the RMS of what is left over."""
    angle = 2.0 * np.pi * ((hz * np.arange(first, first + samples.size)) % rate_hz) / rate_hz
    base = np.stack([np.sin(angle), np.cos(angle), np.ones_like(angle)], axis=1)
    (a, b, c), *_ = np.linalg.lstsq(base, samples, rcond=None)
    left_over = samples - base @ np.array([a, b, c])
    return np.hypot(a, b), np.arctan2(b, a), np.sqrt(np.mean(left_over**2))


def ppm_off(middle, hz, rate_hz):
    """How far the frequency is off: from the phases of the first and the last quarter."""
    quarter = middle.size // 4
    _, early, _ = fitted(middle[:quarter], hz, rate_hz)
    _, late, _ = fitted(middle[-quarter:], hz, rate_hz, middle.size - quarter)
    turn = (late - early + np.pi) % (2.0 * np.pi) - np.pi
    return 1e6 * turn * rate_hz / (2.0 * np.pi * hz * (middle.size - quarter))


def db(ratio):
    return 20.0 * np.log10(ratio)


def tones(player, name, bits, sink, levels, bars, profile=False):
    """Steady tones at each ear, frequency and level; `bars`: level dB, THD+N dB re full scale (or re the
    tone, in float)."""
    rate_hz, scale = 48_000, "hl" if profile else "fs"
    asked = [(ear, hz, level) for level in levels for hz in HZ for ear in range(2)]
    shown = [presentation(2.0, sound(EARS[ear], "tone", hz, scale, level, 0.2, 1.8)) for ear, hz, level in asked]
    played = Played(player, rate_hz, bits, shown, sink, profile)
    error_db, worst_ppm, residue, others, silent, soft = 0.0, 0.0, -np.inf, [], True, 0.0
    for number, (ear, hz, level) in enumerate(asked):
        samples, [(onset, end)] = played.slot(number)
        middle = samples[onset + rate_hz // 10 : end - rate_hz // 10, ear]
        amplitude, _, left_over = fitted(middle, hz, rate_hz)
        expected = level + (RETSPL_DB[hz] - FULL_SCALE_DB[EARS[ear], hz] if profile else 0.0)
        error_db = max(error_db, abs(db(amplitude) - expected))
        # The phase of a tone in dither is no more exact than its level; of -50 dB it is known to 0.1 ppm.
        if bits == 32 or expected >= -60.0:
            worst_ppm = max(worst_ppm, abs(ppm_off(middle, hz, rate_hz)))
        # A sine's RMS is its amplitude over the root of 2, so both are taken as amplitudes.
        reference = amplitude if bits == 32 else 1.0
        residue = max(residue, db(left_over * np.sqrt(2.0) / reference))
        other = samples[:, 1 - ear]
        silent &= not other.any()
        others.append(np.sqrt(np.mean(other**2)))
        if other.any():
            soft = max(soft, fitted(other[onset:end], hz, rate_hz)[0])
    level_bar, residue_bar = bars
    row(f"{name}: presentations whole", f"{played.whole} of {len(asked)}", played.whole == len(asked))
    row(f"{name}: level error, each ear, 125 to 8000 Hz, {levels} dB {scale.upper()}",
        f"at most {error_db:.5f} dB (bar {level_bar})", error_db <= level_bar)
    from_db = "" if bits == 32 else ", from -60 dB FS"
    row(f"{name}: frequency error{from_db}", f"at most {worst_ppm:.4f} ppm (bar 1)", worst_ppm <= 1.0)
    of = "re the tone" if bits == 32 else "re full scale"
    row(f"{name}: distortion and noise", f"at most {residue:.1f} dB {of} (bar {residue_bar})", residue <= residue_bar)
    if bits == 32:
        row(f"{name}: other ear", "digital silence" if silent else "not silent", silent)
    else:
        # Triangular dither of two steps, rounded: a quarter of a squared step (Lipshitz et al. 1992).
        steps = np.array(others) * 2.0 ** (bits - 1)
        alone = bool(np.all(np.abs(steps - 0.5) < 0.01)) and db(soft) < -20.0 * np.log10(2.0) * (bits - 1) - 20.0
        row(f"{name}: other ear", f"dither alone, {steps.min():.4f} to {steps.max():.4f} steps RMS (expected 0.5), "
            f"{db(np.mean(others) * np.sqrt(2.0)):.1f} dB re full scale; of the tone at most {db(soft):.1f} dB", alone)


def crossing(envelope, level_db, after=0):
    """The first frame at which the envelope is at least so many dB re 1, between frames."""
    at = after + int(np.argmax(envelope[after:] >= 10.0 ** (level_db / 20.0)))
    low, high = envelope[at - 1], envelope[at]
    return at - 1 + (10.0 ** (level_db / 20.0) - low) / (high - low)


def shapes(player):
    """Edges, pulses and noises at each rate."""
    for rate_hz in RATES_HZ:
        shown = [
            presentation(2.2, sound("right", "tone", 4000.0, "fs", -40.0, 0.2, 2.0)),
            presentation(3.0, sound("right", "pulsed", 4000.0, "fs", -40.0, 0.2, 2.8)),
        ]
        played = Played(player, rate_hz, 32, shown)
        for number, name in enumerate(["keyed tone", "pulsed tone"]):
            samples, _ = played.slot(number)
            envelope = np.abs(hilbert(samples[:, 1])) * 10.0 ** (40.0 / 20.0)
            edges = []
            for course in (envelope, envelope[::-1]):
                edges.append((crossing(course, -1.0) - crossing(course, -20.0)) / rate_hz * 1000.0)
            over_db = db(envelope.max())
            most = 200.0 if name == "keyed tone" else 50.0
            holds = all(20.0 <= edge <= most for edge in edges) and over_db <= 1.0
            told = f"rise {edges[0]:.2f} ms, fall {edges[1]:.2f} ms (20 to {most:.0f}), overshoot {over_db:.3f} dB (1)"
            if name == "pulsed tone":
                on = envelope >= 10.0 ** (-5.0 / 20.0)
                turns = np.flatnonzero(np.diff(on.astype(int)))
                times = np.diff(turns) / rate_hz * 1000.0
                plateau = np.flatnonzero(np.diff((envelope >= 10.0 ** (-1.0 / 20.0)).astype(int)))
                level = np.diff(plateau)[::2] / rate_hz * 1000.0
                holds &= bool(np.all(np.abs(times - 225.0) <= 35.0)) and bool(np.all(level >= 150.0))
                told += f", on and off {times.min():.2f} to {times.max():.2f} ms (225 +- 35), within 1 dB {level.min():.0f} ms (150)"
            row(f"{name} at {rate_hz} Hz", told, holds)
        noises(player, rate_hz)


def noises(player, rate_hz):
    """The -3 dB points of narrow-band noise: 2^(-1/4) to 2^(-1/6) of the centre, and the same above."""
    seconds = 6.0
    # A narrow band has few lines: its spectrum takes longer to read.
    centres = [hz for hz in HZ for _ in range(16 if hz <= 500.0 else 4)]
    shown = [presentation(seconds, sound("left", "narrow_band_noise", hz, "fs", -60.0, 0.0, seconds)) for hz in centres]
    played = Played(player, rate_hz, 32, shown)
    widths, lows, highs, skirts = [], [], [], []
    for hz in HZ:
        spectra = []
        for number in (number for number, centre in enumerate(centres) if centre == hz):
            samples, _ = played.slot(number)
            at_hz, power = welch(samples[:, 0], rate_hz, nperseg=samples.shape[0], window="hann")
            spectra.append(power)
        power = np.mean(spectra, axis=0)
        # Smoothed over a 24th of an octave: enough lines for a steady reading, narrow against the skirts.
        def level(octaves):
            inside = (at_hz >= hz * 2.0 ** (octaves - 1 / 48)) & (at_hz <= hz * 2.0 ** (octaves + 1 / 48))
            return np.mean(power[inside])
        octaves = np.arange(-1.0, 1.0, 1 / 480)
        course = np.array([level(one) for one in octaves])
        middle = np.mean(power[(at_hz >= hz * 2.0**-0.1) & (at_hz <= hz * 2.0**0.1)])
        above = octaves[course >= middle / 2.0]
        lows.append(2.0 ** above.min())
        highs.append(2.0 ** above.max())
        widths.append(above.max() - above.min())
        # From the -3 dB points on, each octave must take off 12 dB at least.
        for side in (-1.0, 1.0):
            far = course[np.argmin(np.abs(octaves - side * 0.75))]
            edge = above.min() if side < 0 else above.max()
            skirts.append((10.0 * np.log10(middle / max(far, 1e-30)) - 3.0) / (0.75 - abs(edge)))
    holds = min(widths) >= 1 / 3 and max(widths) <= 1 / 2 and min(skirts) >= 12.0
    holds &= all(2.0**-0.25 <= low <= 2.0 ** (-1 / 6) for low in lows)
    holds &= all(2.0 ** (1 / 6) <= high <= 2.0**0.25 for high in highs)
    row(f"narrow-band noise at {rate_hz} Hz, 125 to 8000 Hz",
        f"-3 dB width {min(widths):.3f} to {max(widths):.3f} octaves (1/3 to 1/2), skirts at least {min(skirts):.0f} dB "
        f"an octave (12)", holds)


def maskers(player):
    """The level of noise over 60 s, each ear: what the table of ISO 389-4 asks for."""
    asked = [(ear, hz) for hz in HZ for ear in range(2)]
    shown = [presentation(60.2, sound(EARS[ear], "narrow_band_noise", hz, "hl", 50.0, 0.1, 60.1)) for ear, hz in asked]
    worst, ten = 0.0, 0.0
    for first in range(0, len(asked), 6):
        played = Played(player, 48_000, 32, shown[first : first + 6], profile=True)
        for number, (ear, hz) in enumerate(asked[first : first + 6]):
            samples, [(onset, end)] = played.slot(number)
            heard = samples[onset + 4800 : end - 4800, ear]
            expected = 50.0 + RETSPL_DB[hz] + MASKING_DB[hz] - FULL_SCALE_DB[EARS[ear], hz]
            level = lambda part: 10.0 * np.log10(2.0 * np.mean(part**2)) - expected
            worst = max(worst, abs(level(heard)))
            ten = max(ten, *(abs(level(part)) for part in np.array_split(heard, 6)))
    row("masker level over 60 s, each ear, 125 to 8000 Hz", f"off by at most {worst:.3f} dB (bar 0.3)", worst <= 0.3)
    print(f"  (single stretches of 10 s of the same noises: within {ten:.2f} dB)")


def onsets(player, count):
    """Short tones at random places: the frame that is told against the first that sounds. A sine's own first
    sample is 0, so the second is the first that can be seen."""
    draws = np.random.default_rng(SEED)
    shown = []
    for _ in range(count):
        start_s = draws.uniform(0.05, 0.25)
        shown.append(presentation(0.5, sound(EARS[draws.integers(2)], "tone", draws.choice(HZ), "fs",
                                             draws.uniform(-60.0, -20.0), start_s, start_s + draws.uniform(0.11, 0.2))))
    played = Played(player, 48_000, 32, shown)
    right = 0
    for number, one in enumerate(shown):
        samples, [(onset, _)] = played.slot(number)
        [part] = one["parts"]
        own = samples[:, EARS.index(part["ear"])]
        asked = abs(onset - part["start_s"] * 48_000) <= 0.5
        right += asked and not own[: onset + 1].any() and own[onset + 1] != 0.0
    row("onset frames told rightly", f"{right} of {count}, seed {SEED}", right == count)


def speed(player):
    """The program's own figures, and numpy doing the same tone in the same run."""
    told = subprocess.run([player], check=True, capture_output=True, text=True).stdout
    for line in told.splitlines():
        share = re.search(r"99.9th percentile ([0-9.]+) %", line)
        if share:
            row("callback", line, float(share[1]) <= 5.0)
    ours = float(re.search(r"rendered: (\d+) samples", told)[1])
    best = np.inf
    for _ in range(20):
        start = time.thread_time()
        n = np.arange(480_000)
        tone = 0.01 * np.sin(2.0 * np.pi * 1000.0 * n / 48_000.0)
        ramp = 0.5 - 0.5 * np.cos(np.pi * (np.arange(2400) + 0.5) / 2400)
        tone[:2400] *= ramp
        tone[-2400:] *= ramp[::-1]
        out = np.zeros((480_000, 2), dtype=np.float32)
        out[:, 1] = tone
        best = min(best, time.thread_time() - start)
    numpy = 960_000 / best
    print(f"  samples rendered a second, processor time: {ours:.3g}; numpy the same tone: {numpy:.3g}; ratio {ours / numpy:.2f}")


def main():
    player = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 1000
    tones(player, "32-bit float", 32, "float", [-20, -60, -100], (0.005, -130.0))
    tones(player, "32-bit float, by the example profile", 32, "float", [20, 50, 75], (0.005, -130.0), profile=True)
    tones(player, "24 bits, dithered", 24, "float", [-20, -60, -100], (0.005, -130.0))
    tones(player, "16 bits, dithered", 16, "16", [-20, -50, -80], (0.05, -90.0))
    shapes(player)
    maskers(player)
    onsets(player, count)
    speed(player)
    if missed:
        sys.exit(f"missed: {'; '.join(missed)}")


main()
