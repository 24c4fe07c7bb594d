"""The window: looks at the plant through its properties, acts only through the session's verbs.

Never here: physics, rules, scores. This is the one wing that imports `pygame`. Start reading at
`pages/app` (`pages/window` opens it), then `kit/stage` (what a page is) and `picture/plan_view`.
"""

import os

os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
