"""The certificate that the app shows, signed by the authority beside the workspace, and made anew in time."""

from __future__ import annotations

import datetime as dt
import ipaddress
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from partway.errors import Refused
from partway.storage.refusals import in_words
from partway.web.secure.authority import EARLIER, Authority
from partway.web.secure.files import FOLDER, SERVER, read_private, write_private
from partway.web.secure.names import HostNames, only_local

DAYS = (
    397  # browsers take at most 398 of public authorities (CA/Browser Forum, Baseline Requirements 6.3.2; from memory)
)
AHEAD = dt.timedelta(days=30)  # made anew that long before its end (common practice, no source)


def server_file(folder: Path, authority: Authority, names: HostNames, now: dt.datetime) -> tuple[Path, bool]:
    """The file with certificate and key for these names, and whether it was made anew just now.

    It is, where there is none yet, it does not name them, it is about to end, or another authority signed it.
    """
    file = folder / FOLDER / SERVER
    vouched = _vouched(authority, names)
    if file.exists():
        with in_words(str(file)):
            there = read_private(file)
        if _still_good(there, authority, vouched, now):
            return file, False
    write_private(file, _made(authority, vouched, now))
    return file, True


def names_in(certificate: x509.Certificate) -> HostNames:
    """The hosts and addresses that a certificate names (RFC 5280, 4.2.1.6); none where it names none."""
    try:
        said = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return HostNames((), ())
    hosts = tuple(said.get_values_for_type(x509.DNSName))
    return HostNames(hosts, tuple(str(address) for address in said.get_values_for_type(x509.IPAddress)))


def _vouched(authority: Authority, names: HostNames) -> HostNames:
    """The names that the authority may vouch for: a machine that was renamed since keeps its address."""
    for address in map(only_local, names.addresses):
        if not authority.permits_address(address):
            move = f"one of the addresses the authority was made for; for a new one move the folder {FOLDER} away"
            raise Refused(address, move, "https")
    return HostNames(tuple(host for host in names.hosts if authority.permits(host)), names.addresses)


def _still_good(there: bytes, authority: Authority, names: HostNames, now: dt.datetime) -> bool:
    try:
        certificate = x509.load_pem_x509_certificate(there)
        key = serialization.load_pem_private_key(there, None)
        certificate.verify_directly_issued_by(authority.certificate)
    except (ValueError, TypeError, InvalidSignature):  # whatever is wrong with it, it is made anew
        return False
    lasts = certificate.not_valid_before_utc <= now and certificate.not_valid_after_utc - now > AHEAD
    return lasts and names_in(certificate) == names and key.public_key() == certificate.public_key()


def _made(authority: Authority, names: HostNames, now: dt.datetime) -> bytes:
    key = ec.generate_private_key(ec.SECP256R1())
    signer = authority.certificate
    addresses = [x509.IPAddress(ipaddress.ip_address(text)) for text in names.addresses]
    named = x509.SubjectAlternativeName([*map(x509.DNSName, names.hosts), *addresses])
    called = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "partway")])
    signer_key = signer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    certificate = (
        x509.CertificateBuilder(signer.subject, called, key.public_key(), x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .not_valid_after(min(now + dt.timedelta(days=DAYS) - EARLIER, signer.not_valid_after_utc))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_signs_handshakes(), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(named, critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(signer_key), critical=False)
        .sign(authority.key, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    coded = key.private_bytes(pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    return certificate.public_bytes(pem) + coded + signer.public_bytes(pem)


def _signs_handshakes() -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=True,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )
