"""An authority of one's own: a phone that trusts it reaches the app by https, and nobody else's site with it.

Whoever has its key could pretend to be any site that it may vouch for. So it may vouch for this machine's names and for
addresses of local networks alone (RFC 5280, 4.2.1.10, marked critical: who does not understand that must refuse it),
for servers alone (4.2.1.12), and for no other authority (4.2.1.9).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from ipaddress import IPv4Network, IPv6Network
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from partway.errors import Refused
from partway.storage.exchange.atomic_files import new_folder, private
from partway.storage.refusals import BadLedger, in_words
from partway.web.secure.files import AUTHORITY, AUTHORITY_KEY, FOLDER, read_private
from partway.web.secure.names import HostNames, is_permitted, networks_of

DAYS = 3650  # ten years: a phone is told of it once (our own choice)
EARLIER = dt.timedelta(days=1)  # valid from a day ago: a phone's clock may be behind


@dataclass(frozen=True)
class Authority:
    """The authority of a workspace."""

    key: ec.EllipticCurvePrivateKey
    certificate: x509.Certificate

    def permits(self, host: str) -> bool:
        """Whether it may vouch for a host by this name (RFC 5280: a name permits itself and what ends with it)."""
        names = [one.value for one in self._permitted if isinstance(one, x509.DNSName)]
        return any(host == name or host.endswith(f".{name}") for name in names)

    def permits_address(self, address: str) -> bool:
        """Whether it may vouch for an address."""
        known = (one.value for one in self._permitted if isinstance(one, x509.IPAddress))
        networks = tuple(one for one in known if isinstance(one, (IPv4Network, IPv6Network)))
        return is_permitted(address, networks)

    @property
    def _permitted(self) -> list[x509.GeneralName]:
        limits = self.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
        return list(limits.permitted_subtrees or ())


def authority_in(folder: Path, names: HostNames, now: dt.datetime) -> Authority:
    """The authority kept beside a workspace in `folder`, made for these names where there is none.

    Raises Refused for one that cannot be used: it is never replaced unasked, as every phone would have to be told.
    """
    place = folder / FOLDER
    if not place.exists():
        with in_words(str(folder)):
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        try:
            _write(place, _made(names, now))
        except BadLedger:
            if not place.exists():  # else another start was quicker
                raise
    return _read(place, now)


def fingerprint_of(certificate: x509.Certificate) -> str:
    """The SHA-256 of a certificate in the form that phones show: pairs of hexadecimal digits."""
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def _made(names: HostNames, now: dt.datetime) -> Authority:
    key = ec.generate_private_key(ec.SECP256R1())
    called = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"partway on {names.hosts[-1]}, {now:%Y-%m-%d}"[:64])])
    public = key.public_key()
    subject_key = x509.SubjectKeyIdentifier.from_public_key(public)
    builder = (
        x509.CertificateBuilder(called, called, public, x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .not_valid_after(now + dt.timedelta(days=DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_signs_certificates(), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(_limits(names), critical=True)
        .add_extension(subject_key, critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(subject_key), critical=False)
    )
    return Authority(key, builder.sign(key, hashes.SHA256()))


def _limits(names: HostNames) -> x509.NameConstraints:
    hosts = [x509.DNSName(host) for host in names.hosts]
    return x509.NameConstraints([*hosts, *(x509.IPAddress(network) for network in networks_of(names.addresses))], None)


def _signs_certificates() -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=False,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=True,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )


def _write(place: Path, made: Authority) -> None:
    """Both files or neither."""
    coded = made.key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    with new_folder(place) as part:
        part.chmod(0o700)
        for name, content in ((AUTHORITY_KEY, coded), (AUTHORITY, made.certificate.public_bytes(_PEM))):
            private(part / name)
            (part / name).write_bytes(content)


def _read(place: Path, now: dt.datetime) -> Authority:
    again = f"its two files whole; or move {place} away, and each phone has to be told of a new one"
    with in_words(str(place)):
        coded = read_private(place / AUTHORITY_KEY)
        public = (place / AUTHORITY).read_bytes()
    try:
        key = serialization.load_pem_private_key(coded, None)
        certificate = x509.load_pem_x509_certificate(public)
    except (ValueError, TypeError):
        raise Refused("an authority that cannot be read", again, "https") from None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        raise Refused("an authority with the key of another", again, "https")
    if certificate.not_valid_after_utc <= now:
        ended = f"{certificate.not_valid_after_utc:%Y-%m-%d}"
        raise Refused(f"an authority that ended on {ended}", f"a new one: move {place} away", "https")
    return Authority(key, certificate)


_PEM = serialization.Encoding.PEM
