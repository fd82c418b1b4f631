"""Sign a message as the Standard Webhooks text (standardwebhooks.com) describes."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from base64 import b64decode, b64encode
from collections.abc import Mapping

PREFIX = "whsec_"
SECRET_BYTES = 32


def make_secret() -> str:
    """Return a secret of 256 random bits."""
    return PREFIX + b64encode(secrets.token_bytes(SECRET_BYTES)).decode()


def signed_headers(secret: str, message_id: str, timestamp_s: int, body: bytes) -> Mapping[str, str]:
    """Return the headers that let the receiver know who sent the body, and when."""
    signed = b".".join((message_id.encode(), str(timestamp_s).encode(), body))
    digest = hmac.new(b64decode(secret.removeprefix(PREFIX)), signed, hashlib.sha256).digest()
    return {
        "webhook-id": message_id,
        "webhook-timestamp": str(timestamp_s),
        "webhook-signature": f"v1,{b64encode(digest).decode()}",
    }
