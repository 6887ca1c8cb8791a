"""The verb `rehearse`."""

from __future__ import annotations

import argparse
import time
from pathlib import Path

from assistant import wiring
from assistant.clock.system_clock import local_wall
from assistant.day.facts import RigKnown
from assistant.day.plan import Plan
from assistant.journal.days import new_day_folder
from assistant.rehearsal.score import Scored, totals
from assistant.report.rehearsal_report import Figures, Spoken, rehearsal_report
from assistant.verbs.common import Say, settings_from


def rehearse(arguments: argparse.Namespace, say: Say) -> int:
    """Rehearse a whole day; 1 when a reading was taken wrong."""
    plan = wiring.load_plan(arguments.plan or wiring.example_plan())
    known = wiring.rig_known(plan, wiring.home() / "days") if arguments.with_history else None
    if arguments.typed:
        return _run(wiring.typed_rehearsal(plan), plan, None, say, known)
    settings = settings_from(arguments)
    folder = new_day_folder(arguments.folder or wiring.home() / "rehearsals", plan.beer.name, local_wall())
    return _run(wiring.spoken_rehearsal(plan, folder, settings), plan, folder, say, known)


def _run(parts: wiring.RehearsalParts, plan: Plan, folder: Path | None, say: Say, known: RigKnown | None) -> int:
    began = time.perf_counter()
    say(f"Rehearsing {plan.beer.name}. Ear: {parts.ear_name}.")
    try:
        scored = parts.rehearsal.run(
            progress=lambda stage: say(f"  {time.perf_counter() - began:5.1f} s  {stage}"),
            known=known,
        )
        figures = _figures(parts, plan, scored, time.perf_counter() - began)
    finally:
        parts.close()
    lines = rehearsal_report(figures, [_spoken(item) for item in scored])
    for line in lines:
        say(line)
    if folder is not None:
        (folder / "report.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
        (folder / "transcript.txt").write_text(parts.board.text, encoding="utf-8")
        say(f"Left in {folder}:")
        say("  day.journal, transcript.txt, report.txt, both-voices.wav (left assistant, right brewer)")
    return 0 if figures.wrong == 0 else 1


def _figures(parts: wiring.RehearsalParts, plan: Plan, scored: list[Scored], wall_s: float) -> Figures:
    counted = totals(scored)
    return Figures(
        beer=plan.beer.name,
        ear=parts.ear_name,
        wall_s=wall_s,
        day_s=parts.rehearsal.clock.now().elapsed_s,
        readings=counted.readings,
        right_at_once=counted.right_at_once,
        right_after_question=counted.right_after_question,
        wrong=counted.wrong,
        lost=counted.lost,
    )


def _spoken(item: Scored) -> Spoken:
    line = item.line
    return Spoken(line.text, item.heard, item.outcome.value, item.snr_db, bool(line.truth), line.incident)
