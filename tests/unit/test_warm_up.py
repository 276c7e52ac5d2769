"""What is worked out before anybody speaks: in little pieces, given up as soon as a recording
comes.
"""

from multiprocessing import Pipe

from doorround.hearing.session.warm_up import until_asked


def test_the_work_goes_on_until_a_job_comes_and_then_goes_on_where_it_was():
    jobs, send = Pipe(duplex=False)
    done = []

    def work():
        for piece in range(6):
            done.append(piece)
            if piece in (2, 4):
                send.send(f"job {piece}")
            yield

    begun = work()
    assert until_asked(begun, jobs) == "job 2" and done == [0, 1, 2]
    assert until_asked(begun, jobs) == "job 4" and done == [0, 1, 2, 3, 4]
    send.send(None)
    assert until_asked(begun, jobs) is None and done == [0, 1, 2, 3, 4], (
        "a job that waits comes first"
    )


def test_work_that_fails_costs_no_job(caplog):
    jobs, send = Pipe(duplex=False)

    def work():
        send.send("job")
        raise RuntimeError("an engine stumbles")
        yield

    assert until_asked(work(), jobs) == "job"
    assert "an engine stumbles" in caplog.text
