"""Five invented checks with their prices: enough for every kind of block a sheet has.

The sheets' tests use this instead of the shipped catalogue, so that a better sentence in that one
does not change what is expected here. Every figure is invented.
"""

from __future__ import annotations

import functools

from workbench.catalogue.loading import build
from workbench.catalogue.model import Catalogue

_SHARED = {
    "catalogue/stations.toml": """
[[station]]
id = "under-stern"
label = "Under the stern"
order = 10
[[station]]
id = "below"
label = "Below"
order = 20
""",
    "catalogue/fitout.toml": """
[[fact]]
id = "drive"
label = "Drive"
help = "Invented."
default = "shaft"
choices = [
  { id = "shaft", label = "shaft through a strut" },
  { id = "saildrive", label = "saildrive" },
]
[[fact]]
id = "rig"
label = "Rig"
help = "Invented."
default = "sloop"
choices = [ { id = "sloop", label = "sloop" }, { id = "ketch", label = "ketch" } ]
[[dimension]]
id = "loa"
label = "Length overall"
help = "Invented."
unit = "m"
imperial_unit = "ft"
low = "4"
high = "30"
[[dimension]]
id = "shaft-diameter"
label = "Shaft diameter"
help = "Invented."
unit = "mm"
imperial_unit = "in"
low = "15"
high = "60"
""",
    "catalogue/cautions.toml": """
[[caution]]
id = "under-boat"
title = "Under a boat on props"
text = "A boat ashore stands on props and can fall. Never lean on one."
hazards = ["under-boat"]
[[caution]]
id = "seacock"
title = "Seacocks"
text = "Never force a seacock afloat: a handle that breaks off can sink her."
hazards = ["sinking"]
""",
    "catalogue/access.toml": """
[[task]]
id = "haul-out"
title = "Haul out and stand ashore"
requires = []
item = "access-haul-out"
[[task]]
id = "draw-shaft"
title = "Draw the shaft"
requires = ["haul-out"]
item = "access-draw-shaft"
""",
    "catalogue/looks.toml": """
[[look]]
id = "surveyor"
title = "Survey ashore"
who = "surveyor"
fee = ["600", "900", "1500"]
sees = "0.9"
false_alarm = "0.05"
systems = ["running-gear", "hull"]
checks = []
note = ""
source = { basis = "common-practice" }
[[look]]
id = "mechanic"
title = "Engine survey"
who = "engine mechanic"
fee = ["200", "300", "500"]
sees = "0.9"
false_alarm = "0.05"
systems = ["running-gear"]
checks = []
note = ""
source = { basis = "common-practice" }
""",
    "prices/rates.toml": """
[book]
currency = "USD"
region = "an invented coast"
dated = "2026-03-01"
[[trade]]
id = "yard-hand"
label = "yard hand"
rate = ["50", "60", "80"]
licensed = false
source = { basis = "common-practice" }
""",
    "prices/items/access.toml": """
[book]
system = "access"
[[item]]
id = "access-haul-out"
title = "Haul out"
labour = [ { trade = "yard-hand", hours = ["2", "3", "5"] } ]
materials = ["100", "200", "300"]
unit = "job"
source = { basis = "common-practice" }
[[item]]
id = "access-draw-shaft"
title = "Draw the shaft"
labour = [ { trade = "yard-hand", hours = ["3", "5", "9"] } ]
materials = ["0", "20", "60"]
unit = "job"
source = { basis = "common-practice" }
""",
}

_CHECKS = {
    "running-gear": """
[system]
id = "running-gear"
title = "Running gear"
order = 10
intro = "What drives her."

[[check]]
id = "bearing"
title = "Stern bearing play"
part = "Stern bearing"
station = "under-stern"
looks = "ashore"
applies = { drive = ["shaft"] }
tools = ["steel rule"]
minutes = 2
drawing = "stern-bearing"
steps = ["Stand beside the propeller, never under the hull.", "Lift the shaft and let it drop."]
feel = "Quiet when right; a knock when worn out."
leads_to = "Vibration that wears the gearbox seal."
hazards = ["under-boat"]
cautions = ["under-boat"]
handover = { who = "engine mechanic", when = "The shaft is bent." }
judgement = { judges = "yes", sees = "0.9", false_alarm = "0.05" }
prior = [["older", "0.3"]]
  [check.meaning]
  sound = "As it should be."
  worn = "One or two more seasons."
  due = "Worn out: a new bearing while she stands ashore."
  [[check.entry]]
  id = "play"
  label = "Play at the bearing"
  kind = "number"
  unit = "mm"
  imperial_unit = "in"
  low = "0"
  high = "10"
  [[check.entry]]
  id = "sound"
  label = "When it drops"
  kind = "choice"
  choices = [ { id = "quiet", label = "quiet" }, { id = "knocks", label = "knocks" } ]
  required = false
  [[check.rule]]
  id = "play"
  entry = "play"
  kind = "bands"
  form = "value"
  worse = "higher"
  bands = [ { grade = "worn", at = "0.5" }, { grade = "due", at = "1" } ]
  group = "play"
  lead = true
  source = { basis = "common-practice" }
  scope = "Invented."
  says = "1 mm: due"
  [[check.suspicion]]
  check = "seal"
  at = ["due"]
  factor = "2.5"
  why = "Vibration runs up the shaft to the seal."
  [[check.remedy]]
  id = "renew"
  title = "Renew the bearing, shaft drawn"
  grades = ["worn", "due"]
  when = "before-launching"
  claim = "whole"
  claim_why = "Worn out by the usual measure."
  own = { may = false, hours_share = "1", note = "" }
  access = ["draw-shaft"]
  work = [ { id = "bearing", title = "New stern bearing, fitted", item = "bearing" } ]

[[check]]
id = "seal"
title = "Output seal of the gearbox"
part = "Output seal"
station = "below"
looks = "either"
tools = ["torch"]
minutes = 4
drawing = ""
steps = ["Look for oil below the coupling."]
feel = "Dry when right."
leads_to = "The gearbox loses its oil."
hazards = []
cautions = []
handover = { who = "engine mechanic", when = "Oil drips." }
judgement = { judges = "partly", sees = "0.6", false_alarm = "0.1" }
prior = [["older", "0.2"]]
  [check.meaning]
  sound = "Dry."
  due = "Oil runs: a new seal."
  [[check.entry]]
  id = "oil"
  label = "Oil below the coupling"
  kind = "choice"
  choices = [ { id = "dry", label = "dry" }, { id = "runs", label = "runs" } ]
  [[check.rule]]
  id = "oil"
  entry = "oil"
  kind = "choice"
  grades = { dry = "sound", runs = "due" }
  group = "oil"
  lead = true
  source = { basis = "common-practice" }
  scope = "Invented."
  says = "Oil runs: due"
  [[check.remedy]]
  id = "renew"
  title = "New seal"
  grades = ["due"]
  when = "before-launching"
  claim = "whole"
  claim_why = "It loses oil."
  own = { may = false, hours_share = "1", note = "" }
  access = ["draw-shaft"]
  work = [ { id = "seal", title = "New output seal", item = "seal" } ]
""",
    "hull": """
[system]
id = "hull"
title = "Hull and seacocks"
order = 20
intro = "What keeps the water out."

[[check]]
id = "seacock"
title = "Seacocks turn"
part = "Seacock"
station = "below"
looks = "either"
tools = ["hand"]
minutes = 3
drawing = "seacock-types"
steps = ["Close and open each."]
feel = "Stiff is ordinary; stuck is not."
leads_to = "A hose that parts cannot be shut off."
hazards = ["sinking"]
cautions = ["seacock"]
handover = { who = "surveyor", when = "The metal is pink." }
judgement = { judges = "yes", sees = "0.95", false_alarm = "0.02" }
prior = [["older", "0.25"]]
  [check.meaning]
  sound = "They turn."
  unsafe = "Frozen: do not launch."
  [[check.entry]]
  id = "stuck"
  label = "How many are stuck"
  kind = "number"
  unit = "count"
  imperial_unit = "count"
  low = "0"
  high = "20"
  [[check.rule]]
  id = "stuck"
  entry = "stuck"
  kind = "bands"
  form = "value"
  worse = "higher"
  bands = [ { grade = "unsafe", at = "1" } ]
  group = "stuck"
  lead = true
  source = { basis = "common-practice" }
  scope = "Invented."
  says = "One that is stuck: unsafe"
  [[check.remedy]]
  id = "renew"
  title = "Renew the stuck seacocks"
  grades = ["due", "unsafe"]
  when = "before-launching"
  claim = "whole"
  claim_why = "She cannot be launched with them."
  own = { may = true, hours_share = "1", note = "" }
  access = ["haul-out"]
  [[check.remedy.work]]
  id = "seacock"
  title = "New seacock, fitted"
  item = "seacock"
  count_entry = "stuck"

[[check]]
id = "anode"
title = "Shaft anode"
part = "Shaft anode"
station = "under-stern"
looks = "ashore"
tools = []
minutes = 1
drawing = ""
steps = ["Judge how much is gone."]
feel = "Half gone is the usual time."
leads_to = "The propeller goes in its place."
hazards = ["under-boat"]
cautions = ["under-boat"]
handover = { who = "surveyor", when = "It is gone within months." }
judgement = { judges = "yes", sees = "0.95", false_alarm = "0.02" }
prior = [["older", "0.3"]]
  [check.meaning]
  sound = "More than half left."
  worn = "About half gone: renew it at the next chance."
  [[check.entry]]
  id = "gone"
  label = "Gone"
  kind = "number"
  unit = "%"
  imperial_unit = "%"
  low = "0"
  high = "100"
  [[check.rule]]
  id = "gone"
  entry = "gone"
  kind = "bands"
  form = "value"
  worse = "higher"
  bands = [ { grade = "worn", at = "50" } ]
  group = "gone"
  lead = true
  source = { basis = "common-practice" }
  scope = "Invented."
  says = "Half gone: worn"
  [[check.remedy]]
  id = "renew"
  title = "Renew the anode"
  grades = ["worn", "due"]
  when = "before-launching"
  claim = "none"
  claim_why = "Ordinary upkeep."
  own = { may = true, hours_share = "1", note = "" }
  access = []
  work = [ { id = "anode", title = "New anode", item = "anode" } ]

[[check]]
id = "keel-bolts"
title = "Keel bolts in the bilge"
part = "Keel bolts"
station = "below"
looks = "either"
tools = ["torch"]
minutes = 5
drawing = ""
steps = ["Lift the boards and look for rust."]
feel = "Clean and dry when right."
leads_to = "The keel works loose."
hazards = []
cautions = []
handover = { who = "surveyor", when = "Rust weeps." }
judgement = { judges = "partly", sees = "0.5", false_alarm = "0.1" }
prior = [["older", "0.2"]]
  [check.meaning]
  sound = "Clean."
  due = "Rust weeps: draw one and look."
  [[check.entry]]
  id = "rust"
  label = "Rust"
  kind = "choice"
  choices = [ { id = "none", label = "none" }, { id = "weeps", label = "weeps" } ]
  [[check.rule]]
  id = "rust"
  entry = "rust"
  kind = "choice"
  grades = { none = "sound", weeps = "due" }
  group = "rust"
  lead = true
  source = { basis = "common-practice" }
  scope = "Invented."
  says = "Rust weeps: due"
  [[check.remedy]]
  id = "draw"
  title = "Draw and renew the bolts"
  grades = ["due"]
  when = "before-launching"
  claim = "whole"
  claim_why = "The keel hangs on them."
  own = { may = false, hours_share = "1", note = "" }
  access = ["haul-out"]
  work = [ { id = "bolts", title = "Keel bolts renewed", item = "bolts" } ]
""",
}

_ITEMS = {
    "running-gear": """
[book]
system = "running-gear"
[[item]]
id = "bearing"
title = "Renew a stern bearing"
labour = [ { trade = "yard-hand", hours = ["2", "3", "6"] } ]
materials = ["80", "140", "300"]
unit = "job"
source = { basis = "common-practice" }
[[item]]
id = "seal"
title = "Renew an output seal"
labour = [ { trade = "yard-hand", hours = ["2", "4", "8"] } ]
materials = ["20", "40", "90"]
unit = "job"
source = { basis = "common-practice" }
""",
    "hull": """
[book]
system = "hull"
[[item]]
id = "seacock"
title = "Renew a seacock"
labour = [ { trade = "yard-hand", hours = ["2", "3", "5"] } ]
materials = ["90", "150", "260"]
unit = "each"
source = { basis = "common-practice" }
[[item]]
id = "anode"
title = "Renew an anode"
labour = [ { trade = "yard-hand", hours = ["0.3", "0.5", "1"] } ]
materials = ["20", "35", "60"]
unit = "each"
source = { basis = "common-practice" }
[[item]]
id = "bolts"
title = "Renew keel bolts"
labour = [ { trade = "yard-hand", hours = ["20", "35", "60"] } ]
materials = ["800", "1500", "3000"]
unit = "job"
source = { basis = "common-practice" }
""",
}


@functools.cache
def small_catalogue() -> Catalogue:
    """The five checks, without a fault."""
    texts = {
        **_SHARED,
        **{f"catalogue/checks/{name}.toml": text for name, text in _CHECKS.items()},
        **{f"prices/items/{name}.toml": text for name, text in _ITEMS.items()},
    }
    loaded = build(texts)
    assert loaded.problems == ()
    return loaded.catalogue
