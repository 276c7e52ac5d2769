"""A small fault drill; the whole one is tests/benchmarks/bench_drill.py (make drill)."""

from pathlib import Path

from drill import Plan, run


async def test_killed_again_and_again_the_logbook_equals_the_undisturbed_one(
    tmp_path: Path,
) -> None:
    calm = await run(tmp_path / "calm", Plan(chats=2, checks=1, answers=8), seed=1)
    assert calm.killed == 0
    assert set(map(str, calm.answers)) == {"Mona", "caretaker 1", "caretaker 2"}
    plan = Plan(
        chats=2,
        checks=1,
        answers=8,
        kills=4,
        enough=True,
        often=0.08,
        again=0.2,
        # short lives: on a quick machine the caretakers were done before the fourth kill
        statements=60,
        moment=0.15,
    )
    killed = await run(tmp_path / "killed", plan, seed=2)
    assert killed.killed >= plan.kills
    assert killed.answers == calm.answers
    assert not calm.texts - killed.texts
