"""Write docs/plan.schema.json, the JSON schema of plan.json.

Usage: ``python tools/write_schema.py``
"""

import json
from pathlib import Path

from bedwright.export import plan_schema

OUT = Path(__file__).parents[1] / "docs/plan.schema.json"

if __name__ == "__main__":
    OUT.write_text(json.dumps(plan_schema(), indent=1) + "\n")
    print(OUT)
