"""A certificate that the user brings: whether it can be served, and under which names."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import serialization

from partway.errors import Refused
from partway.storage.refusals import in_words
from partway.web.secure.certificate import names_in
from partway.web.secure.files import read_private
from partway.web.secure.names import HostNames


def names_brought(certificate: Path, key: Path, now: dt.datetime) -> HostNames:
    """What a certificate names, once it is sure that it can be served with this key. Raises Refused."""
    with in_words(str(certificate)):
        public = certificate.read_bytes()
    with in_words(str(key)):
        private = read_private(key, "key")
    try:
        known = x509.load_pem_x509_certificate(public)
    except ValueError:
        raise Refused(str(certificate), "a certificate in PEM form (RFC 7468)", "certificate") from None
    try:
        secret = serialization.load_pem_private_key(private, None)
    except (ValueError, TypeError):
        raise Refused(str(key), "a private key in PEM form, without a password", "key") from None
    if secret.public_key() != known.public_key():
        raise Refused(str(key), f"the key of {certificate}", "key")
    _check_time(certificate, known, now)
    said = names_in(known)
    names = HostNames(tuple(host.lower() for host in said.hosts if "*" not in host), said.addresses)
    if not names.in_address_bar:
        raise Refused(str(certificate), "a certificate that names a host or an address in full", "certificate")
    return names


def _check_time(certificate: Path, known: x509.Certificate, now: dt.datetime) -> None:
    begins, ends = known.not_valid_before_utc, known.not_valid_after_utc
    if not begins <= now < ends:
        said = f"{certificate}, good from {begins:%Y-%m-%d} to {ends:%Y-%m-%d}"
        raise Refused(said, "a certificate that is good today", "certificate")
