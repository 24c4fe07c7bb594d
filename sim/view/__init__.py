"""The window: looks at the plant through its properties, acts only through the session's verbs.

Never here: physics, rules, scores. The one place that imports `pygame`. Start reading at `app`,
then `stage` (what a page is), `saw_page` and `plan_view`.
Imports `drill` and everything below it; nothing imports it but `cli`.
"""

import os

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
