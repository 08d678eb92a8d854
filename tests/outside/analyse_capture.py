"""Holds what was recorded of a live visit against its journal.

Usage: analyse_capture.py JOURNAL RECORDING EARPHONE

RECORDING is raw 32-bit float, left and right in turn, 48 000 frames a second. Every tone that the
journal says was presented must be in it, in order, on its own channel only, at its frequency and
at the level that the earphone's profile and ISO 389-8 ask for. Nothing of the project's own code
is used.
"""

import json
import sys
import tomllib

import numpy as np

RATE_HZ = 48_000
# ISO 389-8:2004, table 1, circumaural earphone, dB re 20 uPa (from memory: 1000 Hz 5.5 dB).
RETSPL_DB = {1000.0: 5.5}
LEVEL_TOLERANCE_DB = 0.05
FREQUENCY_TOLERANCE_PPM = 1.0
# Recorder and journal count from different zeros and by different clocks.
ONSET_SPREAD_S = 0.08
# So long after it was given up a stalled sound server may still play a void presentation.
STALL_S = 3.0
# Between two tones there are at least half a second of silence and an answer window.
GAP_FRAMES = RATE_HZ // 4


def presented(journal):
    """What the journal tells: the tones that arrived whole (number, ear, Hz, dB HL, moment of
    onset, length), how many silent slots there were, and the spans of void presentations."""
    planned, tones, silent, voids = {}, [], 0, []
    for line in open(journal, encoding="utf-8"):
        event = json.loads(line)
        body = event["body"]
        if event["kind"] == "planned":
            planned[body["n"]] = (event["t_s"], body["presentation"])
        elif event["kind"] == "void":
            voids.append((planned[body["n"]][0], event["t_s"]))
        elif event["kind"] == "arrived":
            presentation = planned[body["n"]][1]
            if presentation["task"] != "detect":
                continue
            if not presentation["parts"]:
                silent += 1
            for part in presentation["parts"]:
                onset_s = body["began_s"] + part["start_s"]
                length_s = part["end_s"] - part["start_s"]
                tones.append((body["n"], part["ear"], part["hz"], part["level_db_hl"], onset_s, length_s))
    return tones, silent, voids


def matched(tones, found, voids):
    """Each tone with its range of frames; what is left over must belong to a void presentation.

    The lag of the recorder is that of the pairing which fits most tones."""
    onsets = [tone[4] for tone in tones]
    starts = [start / RATE_HZ for start, _ in found]
    lags = [start - onset for start in starts[: len(voids) + 1] for onset in onsets[:3]]
    near = lambda lag, onset: min(range(len(starts)), key=lambda i: abs(starts[i] - lag - onset))
    misfit = lambda lag: sum(min(1.0, abs(starts[near(lag, onset)] - lag - onset)) for onset in onsets)
    lag = min(lags, key=misfit)
    pairs = [(tone, near(lag, tone[4])) for tone in tones]
    taken = {index for _, index in pairs}
    if len(taken) != len(tones):
        sys.exit(f"expected {len(tones)} tones in the recording, matched {len(taken)}")
    for index, start in enumerate(starts):
        at = start - lag
        if index not in taken and not any(began - 0.5 <= at <= ended + STALL_S for began, ended in voids):
            sys.exit(f"something sounds {at:.1f} s after the beginning that the journal does not know")
    return [(tone, found[index]) for tone, index in pairs]


def sounding(samples):
    """Ranges of frames in which anything is not zero, a quarter of a second apart at least."""
    frames = np.flatnonzero(np.any(samples != 0.0, axis=1))
    if frames.size == 0:
        return []
    breaks = np.flatnonzero(np.diff(frames) > GAP_FRAMES)
    starts = np.concatenate([frames[:1], frames[breaks + 1]])
    ends = np.concatenate([frames[breaks], frames[-1:]])
    return list(zip(starts, ends + 1))


def fitted(channel, first_frame, hz):
    """Amplitude and phase of a sine at hz by least squares, and what it leaves over."""
    angle = 2.0 * np.pi * hz * (first_frame + np.arange(channel.size)) / RATE_HZ
    basis = np.column_stack([np.sin(angle), np.cos(angle)])
    (a, b), *_ = np.linalg.lstsq(basis, channel, rcond=None)
    left_over = channel - basis @ np.array([a, b])
    return np.hypot(a, b), np.arctan2(b, a), np.sqrt(np.mean(left_over**2))


def full_scale_db_spl(profile, ear, hz):
    rows = [row for row in profile["full_scale"] if row["hz"] == hz]
    return rows[0][f"{ear}_db_spl"]


def main():
    journal, recording, earphone = sys.argv[1:]
    profile = tomllib.load(open(earphone, "rb"))
    tones, silent, voids = presented(journal)
    samples = np.fromfile(recording, dtype="<f4").astype(np.float64)
    samples = samples[: samples.size // 2 * 2].reshape(-1, 2)
    found = sounding(samples)
    if not tones or not found or len(voids) > len(tones):
        sys.exit(f"{len(tones)} tones, {len(voids)} void, {len(found)} in the recording: too few to judge")
    problems, worst_db, worst_ppm, lags_s = [], 0.0, 0.0, []
    for (n, ear, hz, level_db_hl, onset_s, length_s), (start, end) in matched(tones, found, voids):
        own, other = (1, 0) if ear == "right" else (0, 1)
        if np.any(samples[start:end, other] != 0.0):
            problems.append(f"{n}: something sounds on the other channel")
        if abs((end - start) / RATE_HZ - length_s) > 0.005:
            problems.append(f"{n}: {(end - start) / RATE_HZ:.3f} s long, expected {length_s:.3f}")
        # The ramps lie outside of the middle.
        ramp = int(0.1 * RATE_HZ)
        middle = samples[start + ramp : end - ramp, own]
        amplitude, _, left_over = fitted(middle, 0, hz)
        expected_db = level_db_hl + RETSPL_DB[hz] - full_scale_db_spl(profile, ear, hz)
        error_db = 20.0 * np.log10(amplitude) - expected_db
        half = middle.size // 2
        _, early, _ = fitted(middle[:half], 0, hz)
        _, late, _ = fitted(middle[half:], half, hz)
        turn = (late - early + np.pi) % (2.0 * np.pi) - np.pi
        error_ppm = 1e6 * turn / (2.0 * np.pi * hz * half / RATE_HZ)
        worst_db, worst_ppm = max(worst_db, abs(error_db)), max(worst_ppm, abs(error_ppm))
        lags_s.append(start / RATE_HZ - onset_s)
        if abs(error_db) > LEVEL_TOLERANCE_DB:
            problems.append(f"{n}: {error_db:+.3f} dB from {expected_db:.2f} dB re full scale")
        if abs(error_ppm) > FREQUENCY_TOLERANCE_PPM:
            problems.append(f"{n}: {error_ppm:+.2f} ppm from {hz} Hz")
        if left_over > 1e-3 * amplitude:
            problems.append(f"{n}: {20.0 * np.log10(left_over / amplitude):.1f} dB besides the tone")
    spread_s = max(lags_s) - min(lags_s)
    if spread_s > ONSET_SPREAD_S:
        problems.append(f"onsets scatter by {1000.0 * spread_s:.0f} ms against the journal")
    for problem in problems:
        print(problem)
    ears = {tone[1] for tone in tones}
    if ears != {"right", "left"}:
        sys.exit(f"expected tones at both ears, found {sorted(ears)}")
    print(
        f"{len(tones)} tones, {silent} silent slots, {len(voids)} void; worst {worst_db:.4f} dB, {worst_ppm:.3f} ppm; "
        f"onsets within {1000.0 * spread_s:.0f} ms of each other"
    )
    sys.exit(1 if problems else 0)


main()
