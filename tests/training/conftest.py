"""The training needs the extra of that name, which is large: without it its tests are left out.

``.ci/run`` installs it and runs them.
"""

from importlib.util import find_spec

collect_ignore_glob = [] if find_spec("torch") else ["test_*.py"]
