"""https by an authority of one's own: it works where it is trusted, and is believed for nothing else.

What is believed is asked of two verifiers that are not ours: OpenSSL, by Python's ssl, and the one of cryptography.
"""

from __future__ import annotations

import datetime as dt
import ipaddress
import socket
import ssl
import stat
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError
from tls_client import SOON, handshake, served, trusting
from waiting import until

from partway.errors import Refused
from partway.web.secure import handshakes
from partway.web.secure.authority import DAYS, Authority, authority_in, fingerprint_of
from partway.web.secure.brought import names_brought
from partway.web.secure.certificate import AHEAD, server_file
from partway.web.secure.files import AUTHORITY, AUTHORITY_KEY, FOLDER, SERVER
from partway.web.secure.names import HostNames, own_names
from partway.web.secure.tls import new_context

NOW = dt.datetime(2026, 11, 30, 12, 0, tzinfo=dt.UTC)
NAMES = HostNames(("localhost", "bench.local"), ("127.0.0.1", "::1", "192.168.1.20"))
DAY = dt.timedelta(days=1)
PEM = serialization.Encoding.PEM


def now() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


def signed(authority: Authority, folder: Path, names: HostNames) -> Path:
    """A certificate for any names at all, as somebody would make it who stole the authority's key."""
    key = ec.generate_private_key(ec.SECP256R1())
    said = [*map(x509.DNSName, names.hosts), *(x509.IPAddress(ipaddress.ip_address(one)) for one in names.addresses)]
    signer = authority.certificate
    known = signer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    made = (
        x509.CertificateBuilder()
        .issuer_name(signer.subject)
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "anybody")]))
        .public_key(key.public_key())
        .serial_number(7)
        .not_valid_before(now() - DAY)
        .not_valid_after(now() + DAY)
        .add_extension(x509.SubjectAlternativeName(said), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(known), critical=False)
        .sign(authority.key, hashes.SHA256())
    )
    file = folder / "stolen.pem"
    coded = key.private_bytes(PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    file.write_bytes(made.public_bytes(PEM) + coded)
    return file


def believed(file: Path, authority: Path, name: str) -> dict[str, bool]:
    """Whether each of two verifiers believes that a certificate is of this host or address."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(file)
    found = {}
    try:
        handshake(server, trusting(authority), name)
        found["ssl"] = True
    except ssl.SSLCertVerificationError:
        found["ssl"] = False
    try:
        subject: x509.DNSName | x509.IPAddress = x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        subject = x509.DNSName(name)
    store = Store([x509.load_pem_x509_certificate(authority.read_bytes())])
    leaf = x509.load_pem_x509_certificates(file.read_bytes())[0]
    try:
        PolicyBuilder().store(store).build_server_verifier(subject).verify(leaf, [])
        found["cryptography"] = True
    except VerificationError:
        found["cryptography"] = False
    return found


BOTH = {"ssl": True, "cryptography": True}
NEITHER = {"ssl": False, "cryptography": False}


@pytest.mark.parametrize("name", [*NAMES.hosts, *NAMES.addresses])
def test_what_is_served_is_believed_by_every_name_it_has(name: str, tmp_path: Path) -> None:
    made = authority_in(tmp_path, NAMES, now())
    file, anew = server_file(tmp_path, made, NAMES, now())
    assert anew
    assert believed(file, tmp_path / FOLDER / AUTHORITY, name) == BOTH
    assert believed(file, tmp_path / FOLDER / AUTHORITY, "other.local") == NEITHER


@pytest.mark.parametrize("name", ["192.168.77.1", "10.1.2.3", "172.31.0.9", "bench.local", "fd12::5"])
def test_the_authority_may_vouch_within_its_limits(name: str, tmp_path: Path) -> None:
    """Without this the next test would hold of an authority that may vouch for nothing."""
    made = authority_in(tmp_path, NAMES, now())
    one = HostNames((name,), ()) if "local" in name else HostNames((), (name,))
    assert believed(signed(made, tmp_path, one), tmp_path / FOLDER / AUTHORITY, name) == BOTH


@pytest.mark.parametrize(
    "name",
    [
        *("bank.example", "example.com", "other.local", "local", "bench.local.example", "notbench.local"),
        *("203.0.113.7", "8.8.8.8", "172.32.0.1", "192.169.0.1", "2001:db8::1"),
    ],
)
def test_with_a_stolen_key_nothing_outside_its_limits_is_believed(name: str, tmp_path: Path) -> None:
    """RFC 5280, 4.2.1.10. Numbers of 203.0.113.0/24 and 2001:db8::/32 are for documents (RFC 5737, RFC 3849)."""
    made = authority_in(tmp_path, NAMES, now())
    one = HostNames((), (name,)) if name[0].isdigit() else HostNames((name,), ())
    assert believed(signed(made, tmp_path, one), tmp_path / FOLDER / AUTHORITY, name) == NEITHER


def test_the_authority_makes_no_other_authority(tmp_path: Path) -> None:
    made = authority_in(tmp_path, NAMES, now()).certificate.extensions
    limits = made.get_extension_for_class(x509.BasicConstraints)
    assert limits.critical and limits.value.ca and limits.value.path_length == 0
    assert made.get_extension_for_class(x509.NameConstraints).critical
    uses = made.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(uses) == [x509.oid.ExtendedKeyUsageOID.SERVER_AUTH]


def test_https_answers_where_the_authority_is_trusted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with served(tmp_path, monkeypatch, now) as app:
        assert app.get("/trust").status == 200
        assert app.get("/trust", host="localhost").status == 200
        assert app.get("/").status == 401
        let_in = app.get("/?key=desk-key")
        assert let_in.status == 303
        cookie = let_in.getheader("set-cookie") or ""
        assert cookie.startswith("__Host-partway_key=") and "; Secure" in cookie and "Path=/" in cookie
        assert app.get("/settings", Cookie=cookie.partition(";")[0]).status == 200
        session = app.get("/settings", Cookie=cookie.partition(";")[0]).getheader("set-cookie") or ""
        assert "; Secure" in session


def test_https_is_not_believed_where_the_authority_is_not_trusted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with served(tmp_path, monkeypatch, now) as app:
        with (
            socket.create_connection(("127.0.0.1", app.port), timeout=60) as sock,
            pytest.raises(ssl.SSLCertVerificationError),
        ):
            trusting(None).wrap_socket(sock, server_hostname="localhost")
        assert app.get("/trust").status == 200


def test_the_certificate_comes_by_the_page_and_is_the_public_part_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import urllib.request

    with served(tmp_path, monkeypatch, now) as app:
        with urllib.request.urlopen(f"http://127.0.0.1:{app.plain}/trust/authority.crt") as answer:
            assert answer.headers["content-type"] == "application/x-x509-ca-cert"
            sent = answer.read()
        with urllib.request.urlopen(f"http://127.0.0.1:{app.plain}/trust") as answer:
            page = answer.read().decode()
    known = x509.load_der_x509_certificate(sent)
    assert known.public_bytes(PEM) == app.authority.read_bytes()
    secret = (tmp_path / FOLDER / AUTHORITY_KEY).read_bytes()
    for line in secret.splitlines()[1:-1]:
        assert line not in sent and line.decode() not in page
    assert "".join(page.split()).count(fingerprint_of(known)[:23]) == 1
    assert "stolen" in page and "Remove" in page


def test_this_machine_needs_no_https(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import http.client

    with served(tmp_path, monkeypatch, now) as app:
        client = http.client.HTTPConnection("127.0.0.1", app.plain, timeout=60)
        client.request("GET", "/?key=desk-key")
        answer = client.getresponse()
        cookie = answer.getheader("set-cookie") or ""
        answer.read()
        client.close()
        assert answer.status == 303 and cookie.startswith("partway_key=") and "Secure" not in cookie


def modes(folder: Path) -> dict[str, int]:
    return {path.name: stat.S_IMODE(path.stat().st_mode) for path in (folder / FOLDER).iterdir()}


def test_keys_are_their_owners_alone(tmp_path: Path) -> None:
    server_file(tmp_path, authority_in(tmp_path, NAMES, NOW), NAMES, NOW)
    assert modes(tmp_path) == {AUTHORITY_KEY: 0o600, AUTHORITY: 0o600, SERVER: 0o600}
    assert stat.S_IMODE((tmp_path / FOLDER).stat().st_mode) == 0o700
    server_file(tmp_path, authority_in(tmp_path, NAMES, NOW), NAMES, NOW + 380 * DAY)
    assert modes(tmp_path)[SERVER] == 0o600


@pytest.mark.parametrize("name", [AUTHORITY_KEY, SERVER])
@pytest.mark.parametrize("mode", [0o640, 0o604, 0o644])
def test_a_key_that_others_may_read_is_not_used(name: str, mode: int, tmp_path: Path) -> None:
    server_file(tmp_path, authority_in(tmp_path, NAMES, NOW), NAMES, NOW)
    before = (tmp_path / FOLDER / name).read_bytes()
    (tmp_path / FOLDER / name).chmod(mode)
    with pytest.raises(Refused, match="chmod 600"):
        server_file(tmp_path, authority_in(tmp_path, NAMES, NOW), NAMES, NOW)
    assert (tmp_path / FOLDER / name).read_bytes() == before


def test_a_certificate_is_kept_until_it_is_about_to_end(tmp_path: Path) -> None:
    known = authority_in(tmp_path, NAMES, NOW)
    file, _ = server_file(tmp_path, known, NAMES, NOW)
    first = x509.load_pem_x509_certificate(file.read_bytes())
    late = first.not_valid_after_utc - AHEAD
    assert server_file(tmp_path, known, NAMES, late - dt.timedelta(seconds=1)) == (file, False)
    assert x509.load_pem_x509_certificate(file.read_bytes()) == first
    assert server_file(tmp_path, known, NAMES, late) == (file, True)
    second = x509.load_pem_x509_certificate(file.read_bytes())
    assert second.not_valid_after_utc > first.not_valid_after_utc
    assert second.not_valid_after_utc - second.not_valid_before_utc <= 398 * DAY  # Baseline Requirements 6.3.2
    assert second.serial_number != first.serial_number


def test_another_address_gets_a_certificate_of_its_own(tmp_path: Path) -> None:
    known = authority_in(tmp_path, NAMES, NOW)
    server_file(tmp_path, known, NAMES, NOW)
    moved = HostNames(NAMES.hosts, ("127.0.0.1", "::1", "192.168.1.31"))
    file, anew = server_file(tmp_path, known, moved, NOW)
    said = x509.load_pem_x509_certificate(file.read_bytes()).extensions
    addresses = said.get_extension_for_class(x509.SubjectAlternativeName).value.get_values_for_type(x509.IPAddress)
    assert anew and [str(address) for address in addresses] == list(moved.addresses)
    assert authority_in(tmp_path, moved, NOW).certificate == known.certificate


@pytest.mark.parametrize("spoiled", [b"", b"no certificate", None])
def test_a_spoiled_certificate_is_made_anew(spoiled: bytes | None, tmp_path: Path) -> None:
    known = authority_in(tmp_path / "one", NAMES, NOW)
    file, _ = server_file(tmp_path / "one", known, NAMES, NOW)
    if spoiled is None:  # of another authority
        other = authority_in(tmp_path / "two", NAMES, NOW)
        spoiled = server_file(tmp_path / "two", other, NAMES, NOW)[0].read_bytes()
    file.write_bytes(spoiled)
    assert server_file(tmp_path / "one", known, NAMES, NOW) == (file, True)
    x509.load_pem_x509_certificate(file.read_bytes()).verify_directly_issued_by(known.certificate)


def test_a_running_app_shows_the_new_certificate(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ahead = [dt.timedelta()]
    with served(tmp_path, monkeypatch, lambda: now() + ahead[0]) as app:
        first = app.certificate()
        app.tls.look()
        assert app.certificate() == first
        ahead[0] = 380 * DAY
        app.tls.look()
        file = tmp_path / FOLDER / SERVER
        assert x509.load_pem_x509_certificate(file.read_bytes()).public_bytes(serialization.Encoding.DER) != first
        shown = ssl._create_unverified_context()  # noqa: S323 (of next year: what is shown counts, not whether it is good)
        with (
            socket.create_connection(("127.0.0.1", app.port), timeout=60) as sock,
            shown.wrap_socket(sock) as secure,
        ):
            said = secure.getpeercert(binary_form=True)
        assert said == x509.load_pem_x509_certificate(file.read_bytes()).public_bytes(serialization.Encoding.DER)


def test_a_running_app_answers_at_its_new_address(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from partway.web.secure import sources

    with served(tmp_path, monkeypatch, now) as app:
        assert app.get("/trust", Host="192.168.1.31").status == 400
        monkeypatch.setattr(sources, "own_address", lambda: "192.168.1.31")
        app.tls.look()
        assert app.get("/trust", Host="192.168.1.31").status == 200
        assert app.setup.address == f"https://192.168.1.31:{app.port}"


def test_an_authority_is_never_replaced_unasked(tmp_path: Path) -> None:
    authority_in(tmp_path, NAMES, NOW)
    before = (tmp_path / FOLDER / AUTHORITY).read_bytes()
    with pytest.raises(Refused, match="ended on"):
        authority_in(tmp_path, NAMES, NOW + (DAYS + 1) * DAY)
    (tmp_path / FOLDER / AUTHORITY_KEY).write_bytes(b"spoiled")
    with pytest.raises(Refused, match="cannot be read"):
        authority_in(tmp_path, NAMES, NOW)
    authority_in(tmp_path / "other", NAMES, NOW)
    (tmp_path / FOLDER / AUTHORITY_KEY).write_bytes((tmp_path / "other" / FOLDER / AUTHORITY_KEY).read_bytes())
    with pytest.raises(Refused, match="key of another"):
        authority_in(tmp_path, NAMES, NOW)
    assert (tmp_path / FOLDER / AUTHORITY).read_bytes() == before


def test_a_machine_that_was_renamed_keeps_its_addresses(tmp_path: Path) -> None:
    known = authority_in(tmp_path, NAMES, now())
    renamed = HostNames(("localhost", "shed.local"), NAMES.addresses)
    file, _ = server_file(tmp_path, known, renamed, now())
    assert believed(file, tmp_path / FOLDER / AUTHORITY, "192.168.1.20") == BOTH
    assert believed(file, tmp_path / FOLDER / AUTHORITY, "shed.local") == NEITHER


def test_an_address_of_the_internet_is_refused(tmp_path: Path) -> None:
    known = authority_in(tmp_path, NAMES, NOW)
    with pytest.raises(Refused, match="whole internet"):
        server_file(tmp_path, known, HostNames(("localhost",), ("8.8.8.8",)), NOW)
    assert not (tmp_path / FOLDER / SERVER).exists()


def test_an_authority_for_a_provider_address_vouches_for_that_one_alone(tmp_path: Path) -> None:
    """100.64.0.0/10 is a provider's own (RFC 6598): of no use on the internet, and shared by its customers."""
    names = HostNames(("localhost",), ("127.0.0.1", "100.64.3.4"))
    known = authority_in(tmp_path, names, now())
    file, _ = server_file(tmp_path, known, names, now())
    assert believed(file, tmp_path / FOLDER / AUTHORITY, "100.64.3.4") == BOTH
    beside = signed(known, tmp_path, HostNames((), ("100.64.3.5",)))
    assert believed(beside, tmp_path / FOLDER / AUTHORITY, "100.64.3.5") == NEITHER
    with pytest.raises(Refused, match="was made for"):
        server_file(tmp_path, known, HostNames(("localhost",), ("100.64.3.5",)), now())


@pytest.mark.parametrize("host", ["dev", "box.dev", "com", "DEV", "a_b", "", "localhost"])
def test_the_machines_bare_name_is_no_name_to_vouch_for(host: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A limit to "dev" would take in every name that ends with ".dev" (RFC 5280: adding labels to the left)."""
    monkeypatch.setattr(socket, "gethostname", lambda: host)
    assert all(name == "localhost" or name.endswith(".local") for name in own_names("127.0.0.1").hosts)


def test_only_newer_tls_is_spoken() -> None:
    assert new_context().minimum_version == ssl.TLSVersion.TLSv1_2


def test_connections_that_say_nothing_are_bounded_before_https(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(handshakes, "MOST", 3)
    with served(tmp_path, monkeypatch, now) as app:
        # Half of the minute after which asyncio gives up a handshake by itself.
        silent = [socket.create_connection(("127.0.0.1", app.port), timeout=30) for _ in range(8)]
        assert app.get("/trust").status == 200
        for sock in silent[:4]:
            assert closed(sock)
        for sock in silent:
            sock.close()
        assert app.get("/trust").status == 200


def closed(sock: socket.socket) -> bool:
    try:
        return sock.recv(1) == b""
    except ConnectionResetError:
        return True


def test_http_on_the_port_of_https_does_no_harm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with served(tmp_path, monkeypatch, now) as app:
        with socket.create_connection(("127.0.0.1", app.port), timeout=60) as sock:
            sock.sendall(b"GET / HTTP/1.1\r\nhost: localhost\r\n\r\n")
            assert b"200" not in sock.recv(1000)
        until(lambda: app.get("/trust").status == 200, SOON)


def brought(folder: Path, names: HostNames) -> tuple[Path, Path]:
    """A certificate and a key in two files, as somebody else's tools leave them."""
    both = signed(authority_in(folder / "signer", NAMES, NOW), folder, names)
    certificate, key = folder / "mine.crt", folder / "mine.key"
    text = both.read_bytes()
    cut = text.index(b"-----BEGIN PRIVATE")
    certificate.write_bytes(text[:cut])
    key.write_bytes(text[cut:])
    key.chmod(0o600)
    return certificate, key


def test_a_certificate_that_was_brought_is_served_by_its_names(tmp_path: Path) -> None:
    certificate, key = brought(tmp_path, HostNames(("Bench.example", "*.example"), ("203.0.113.7",)))
    names = names_brought(certificate, key, now())
    assert names.in_address_bar == ("bench.example", "203.0.113.7")


@pytest.mark.parametrize("wrong", ["key", "no key", "no certificate", "ended", "to come", "wildcard", "open", "none"])
def test_what_cannot_be_served_is_refused(wrong: str, tmp_path: Path) -> None:
    certificate, key = brought(tmp_path, HostNames(("*.example",) if wrong == "wildcard" else ("bench.example",), ()))
    at = now() + {"ended": 9 * DAY, "to come": -9 * DAY}.get(wrong, dt.timedelta())
    if wrong == "key":
        other = ec.generate_private_key(ec.SECP256R1())
        form = serialization.PrivateFormat.PKCS8
        key.write_bytes(other.private_bytes(PEM, form, serialization.NoEncryption()))
    elif wrong == "no key":
        key.write_bytes(certificate.read_bytes())
    elif wrong == "no certificate":
        certificate.write_bytes(b"-----BEGIN CERTIFICATE-----\n")
    elif wrong == "open":
        key.chmod(0o644)
    elif wrong == "none":
        key.unlink()
    with pytest.raises(Refused) as refused:
        names_brought(certificate, key, at)
    assert refused.value.exit_status == 2 and str(tmp_path) in str(refused.value)
