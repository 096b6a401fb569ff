"""Words the trade has fixed, as they are put into texts: states, roles, kinds, dispositions.

They are plain data everywhere else: kept, compared and written to files as they stand. Only where
one is put into a text for people is it asked for here, so that a window can say it in its own
language. A word that is not here (a code, a name) is given back as it is.
"""

from __future__ import annotations

from estimator.domain.wording import Worded, worded

_WORDS = (
    # how certain, what kind of line
    worded("firm"), worded("provisional"), worded("exposed"),
    worded("labour"), worded("parts"), worded("outwork"),
    worded("low"), worded("likely"), worded("high"),
    # dispositions, ways, levels, results
    worded("reuse"), worded("recondition"), worded("exchange"), worded("replace"), worded("open"),
    worded("defer"), worded("full"), worded("driveline"), worded("teardown"),
    worded("boxed return"), worded("reassembly"),
    worded("sound"), worded("worn"), worded("as priced"), worded("alarm"), worded("clear"),
    # how a finding was made, and what a figure rests on
    worded("measure"), worded("drift"), worded("leak-down"), worded("oil"), worded("crack"),
    worded("hose"), worded("count"), worded("visual"), worded("safety"), worded("test"),
    worded("not seen"), worded("not tested"), worded("sign only"), worded("not looked at"),
    worded("starting value"), worded("judged"), worded("typed"), worded("own"),
    worded("measured"), worded("seen"), worded("supplier"),
    worded("percentile"), worded("mean"), worded("nothing"), worded("distribution"), worded("band"),
    worded("rebuild"), worded("service"),
    # kinds of quantity
    worded("length"), worded("pressure"), worded("flow"), worded("time"), worded("hours"),
    worded("speed"), worded("angle"), worded("straightness"), worded("percent"), worded("current"),
    worded("voltage"), worded("resistance"), worded("torque"), worded("mass"),
    worded("temperature"), worded("concentration"), worded("volume"), worded("area"),
    # columns of a finding that a fault may name
    worded("component"), worded("part"), worded("sign_of"),
    # who acts and who waits
    worded("inspector"), worded("estimator"), worded("foreman"), worded("service manager"),
    worded("viewer"), worded("customer"), worded("workshop"),
    # rights
    worded("take in a job"), worded("record findings"),
    worded("edit more than findings and photographs"), worded("issue a quote"),
    worded("keep past work"), worded("release a quote"), worded("enrol people"),
    worded("record an acceptance"), worded("raise a variation"), worded("record an answer"),
    worded("release work"), worded("settle the account"),
    worded("change the house style"), worded("change the catalogue"),
    # states of a job and of a variation
    worded("draft"), worded("proposed"), worded("issued"), worded("expired"), worded("accepted"),
    worded("stopped"), worded("handed over"), worded("closed"), worded("found"), worded("queried"),
    worded("approved"), worded("part approved"), worded("declined"), worded("deferred"),
    worded("lapsed"), worded("agreed"), worded("withdrawn"), worded("released"), worded("done"),
    # acts on a variation
    worded("price"), worded("issue"), worded("query"), worded("revise"), worded("approve"),
    worded("approve in part"), worded("decline"), worded("agree"), worded("close"),
    worded("lapse"), worded("withdraw"), worded("release"), worded("finish"), worded("pass on"),
    worded("stop"), worded("confirm done"), worded("call off"),
    # what funds a variation, and why it came about
    worded("contingency"), worded("contract sum"), worded("remeasured"),
    worded("hidden condition"), worded("customer's request"), worded("outside scope"),
    worded("own error"), worded("supplier's fault"), worded("measured again"),
    # commercial forms, and where what is left goes
    worded("base and named contingency"), worded("fixed price"), worded("not to exceed"),
    worded("provisional sums"), worded("schedule of rates"),
    worded("to the customer"), worded("to the workshop"), worded("shared half"),
)  # fmt: skip
_BY_TEXT: dict[str, Worded] = {str(word): word for word in _WORDS}


def fixed(word: str) -> str:
    """A fixed word as a text that can be said in another language."""
    return _BY_TEXT.get(word, word)
