"""One JSON object in a file with a checksum over it: damage and half an edit are found when it is read.

Standard library only.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

_HEAD = re.compile(r'\{"crc32": "([0-9a-f]{8})", "content": ')


def sealed_text(content: Mapping[str, Any]) -> str:
    """The text of a file that holds `content` and its checksum."""
    text = json.dumps(content, ensure_ascii=False, allow_nan=False)
    return f'{{"crc32": "{zlib.crc32(text.encode()):08x}", "content": {text}}}\n'


def content_of(path: Path) -> dict[str, Any] | None:
    """What a file holds, None where it is not there, damaged or not ours."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None
    head = _HEAD.match(text)
    body = text[head.end() : -2] if head else ""
    if head is None or text[-2:] != "}\n" or f"{zlib.crc32(body.encode()):08x}" != head[1]:
        return None
    content = json.loads(body)
    return content if isinstance(content, dict) else None
