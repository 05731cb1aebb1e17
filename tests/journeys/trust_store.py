"""A trust store as Chromium reads it on Linux: an authority put into it by NSS, the library that Chromium itself uses.

Run as a program, so that the library's state ends with it: `python trust_store.py FOLDER CERTIFICATE`. FOLDER is the
store itself, within the home of the browser that is to believe the authority.
"""

from __future__ import annotations

import ctypes
import ssl
import subprocess
import sys
from pathlib import Path

TRUSTED = b"C,,"  # an authority for servers, and for nothing else (certutil's own letters, NSS documentation)


class _Item(ctypes.Structure):
    _fields_ = (("sort", ctypes.c_uint), ("data", ctypes.c_char_p), ("length", ctypes.c_uint))


class _Trust(ctypes.Structure):
    _fields_ = (("ssl", ctypes.c_uint), ("email", ctypes.c_uint), ("code", ctypes.c_uint))


def believing(home: Path, certificate: Path) -> dict[str, str]:
    """The environment of a browser that believes an authority."""
    folder = home / ".pki" / "nssdb"
    folder.mkdir(parents=True)
    subprocess.run([sys.executable, __file__, str(folder), str(certificate)], check=True, timeout=60)  # noqa: S603 - this file
    return {"HOME": str(home)}


def _put(folder: str, certificate: str) -> None:
    nss = ctypes.CDLL("libnss3.so")
    for name in ("PK11_GetInternalKeySlot", "CERT_NewTempCertificate", "CERT_GetDefaultCertDB"):
        getattr(nss, name).restype = ctypes.c_void_p

    def done(status: int, what: str) -> None:
        if status:
            raise SystemExit(f"{what}: NSS error {ctypes.CDLL('libnspr4.so').PR_GetError()}")

    done(nss.NSS_InitReadWrite(f"sql:{folder}".encode()), "open")
    slot = ctypes.c_void_p(nss.PK11_GetInternalKeySlot())
    done(nss.PK11_InitPin(slot, None, b""), "an empty password")
    coded = ssl.PEM_cert_to_DER_cert(Path(certificate).read_text(encoding="ascii"))
    item = _Item(0, coded, len(coded))
    store = ctypes.c_void_p(nss.CERT_GetDefaultCertDB())
    found = ctypes.c_void_p(nss.CERT_NewTempCertificate(store, ctypes.byref(item), None, 0, 1))
    if not found.value:
        raise SystemExit(f"{certificate}: no certificate")
    done(nss.PK11_ImportCert(slot, found, 0, b"authority", 0), "import")
    trust = _Trust()
    done(nss.CERT_DecodeTrustString(ctypes.byref(trust), TRUSTED), "trust")
    done(nss.CERT_ChangeCertTrust(store, found, ctypes.byref(trust)), "trust it")
    nss.CERT_DestroyCertificate(found)
    nss.PK11_FreeSlot(slot)
    nss.NSS_Shutdown()


if __name__ == "__main__":
    _put(sys.argv[1], sys.argv[2])
