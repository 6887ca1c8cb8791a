"""How questions are heard: `python tests/bench/question_bench.py`. Prints the table of DEVELOPERS.md.

Three voices of espeak-ng say every name of a topic, the opener, and values; synthetic burner noise is mixed in.
What is heard goes through gate, recogniser and decision, each with the grammar of its step. Silently wrong means
taken as something that was not said; it is read back all the same.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

sys.path[:0] = [str(Path(__file__).parents[1] / "ear"), str(Path(__file__).parents[2])]

from noisy_speech import RATE_HZ, pieces  # noqa: E402 - the folders are found above

from assistant.ear.model_folder import own_model_folder  # noqa: E402
from assistant.ear.vosk_ear import VoskEar  # noqa: E402
from assistant.messages import AudioChunk, Utterance  # noqa: E402
from assistant.rehearsal.soundscape import Burner, as_chunk, as_samples, speech_dbfs  # noqa: E402
from assistant.understanding.grammar import phrases_for  # noqa: E402
from assistant.understanding.inquiry_grammar import topic_phrases  # noqa: E402
from assistant.understanding.inquiry_topics import TOPIC  # noqa: E402
from assistant.understanding.parse import meanings  # noqa: E402
from assistant.understanding.said import Accept, Asked, Asking, Listening, Order, Reject  # noqa: E402
from assistant.understanding.weigh import weigh  # noqa: E402
from assistant.voice.mixing import resampled  # noqa: E402
from assistant.voice.renderer import Renderer  # noqa: E402

VOICES: Final = ("en-us", "en-gb-x-rp", "en-gb-scotland")
LEVELS_DB: Final = (None, 14.0, 10.0)
# Letters that a speech engine would read as a word.
SPELLED: Final = {word: " ".join(word) for word in ("abv", "og", "fg", "ibu", "psi", "ppm", "srm", "ebc", "dme")}
VALUES: Final = """
strike|grain|five kilos
strike|grain|four point two kilograms
strike|temperature of the mash|sixty seven degrees
strike|temperature of the mash|sixty six point five
strike|volume of water|fifteen litres
strike|volume of water|fifty litres
strike|volume of water|one five litres
infusion|temperature of the mash now|fifty two
infusion|temperature of the next rest|seventy two degrees
heating|net power|three kilowatts
heating|net power|two point five kilowatts
boiling point|altitude|sixteen hundred metres
boiling point|altitude|one thousand two hundred and fifty metres
altitude|boiling point|ninety five degrees
plato|gravity|ten fifty
extract|volume of wort|twenty five litres
extract|gravity now|ten thirty eight
extract|gravity wanted|one point oh four four
boil|boil-off|four litres an hour
bitterness|hops|thirty grams
bitterness|hops|thirteen grams
bitterness|alpha acid|six point five per cent
bitterness|time in the boil|sixty minutes
bitterness|time in the boil|fifteen minutes
cold volume|hot volume|twenty six litres
cold volume|temperature|ninety eight degrees
yeast|volume of wort|nineteen litres
yeast|gravity of the wort|ten seventy four
oxygen|temperature of the wort|eighteen degrees
refractometer|reading now|six point four brix
refractometer|original gravity|twelve plato
priming|volume of beer|ninety litres
priming|volume of beer|corn sugar
priming|carbonation wanted|two point four volumes
priming|carbonation wanted|two point four
keg gas|pressure on the gauge|twelve psi
keg gas|pressure on the gauge|one point two bar
pasteurisation|time|twenty minutes
cleaner|strength|seven point five grams a litre
salt|mass of the salt|four grams
salt|salt|gypsum
salt|salt|calcium chloride
residual alkalinity|bicarbonate|two fifty
residual alkalinity|calcium|a hundred milligrams a litre
ice|temperature now|thirty
ice|temperature wanted|eighteen degrees
calories|final gravity|ten oh nine
"""


def value_cases() -> Iterator[tuple[Listening, str]]:
    """Values with what the ear is ready for when they are said."""
    for line in VALUES.split("\n"):
        if line:
            topic, slot, words = line.split("|")
            names = [part.name for part in TOPIC[topic].parts]
            yield replace(Listening(), asking=Asking(topic, slot, tuple(names[: names.index(slot)]))), words


def in_noise(speech: AudioChunk, snr_db: float | None, seed: int) -> AudioChunk:
    """Speech at -26 dB in burner noise so far below, which begins before it and goes on behind it."""
    samples = as_samples(resampled(speech, RATE_HZ))
    samples = samples * 10 ** ((-26.0 - speech_dbfs(samples)) / 20)
    mixture = Burner(seed).noise(len(samples) / RATE_HZ + 2.8, -70.0 if snr_db is None else -26.0 - snr_db)
    start = round(1.5 * RATE_HZ)
    mixture[start : start + len(samples)] += samples
    return as_chunk(mixture)


def outcome(utterances: Sequence[Utterance], words: str, ready: Listening) -> str:
    """What became of `words`: right, asked again, wrong, or unheard (asked for again after a while)."""
    verdicts = [weigh(utterance, ready) for utterance in utterances]
    taken = [verdict.said for verdict in verdicts if isinstance(verdict, Accept)]
    if taken:
        return "right" if [_meant(meanings(words, ready)[0])] == [_meant(said) for said in taken] else "wrong"
    silent = all(isinstance(verdict, Reject) and verdict.silent for verdict in verdicts)
    return "unheard" if silent else "again"


def _meant(said: object) -> object:
    if isinstance(said, Asked):
        return said.topic, said.given
    return said.command if isinstance(said, Order) else said


def measure(title: str, cases: Sequence[tuple[Listening, str]], renderers: Sequence[Renderer]) -> None:
    """Print a row for each level of noise, and what was taken wrongly."""
    ear = VoskEar(own_model_folder(), phrases_for, name="own model")
    for snr_db in LEVELS_DB:
        counted: Counter[str] = Counter()
        for seed, (ready, words) in enumerate(cases):
            ear.listen_for(ready)
            for voice, renderer in zip(VOICES, renderers, strict=True):
                spoken = " ".join(SPELLED.get(word, word) for word in words.split())
                sound = in_noise(renderer.render(spoken), snr_db, seed)
                found = [*(ear.feed(piece) for piece in pieces(sound)), ear.flush()]
                ear.reset()
                heard = [utterance for utterance in found if utterance is not None]
                became = outcome(heard, words, ready)
                counted[became] += 1
                if became == "wrong":
                    print(f"  {voice}: {words!r} taken as {[one.best.text for one in heard]}", file=sys.stderr)
        noise = "quiet" if snr_db is None else f"{snr_db:.0f} dB"
        cells = (counted[name] for name in ("right", "again", "unheard", "wrong"))
        print(f"| {title} | {noise} | {counted.total()} | {' | '.join(map(str, cells))} |", flush=True)


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        renderers = [Renderer(Path(folder) / voice, voice=voice, words_per_minute=160) for voice in VOICES]
        print("| what is said | noise | said | right | asked again | unheard | silently wrong |")
        print("|---|---|---|---|---|---|---|")
        topic = replace(Listening(), asking=Asking())
        measure("opener, among the words of the day", [(Listening(), "question")] * 5, renderers)
        measure("names of topics", [(topic, phrase) for phrase in topic_phrases()], renderers)
        measure("values", list(value_cases()), renderers)
        for renderer in renderers:
            renderer.close()


if __name__ == "__main__":
    main()
