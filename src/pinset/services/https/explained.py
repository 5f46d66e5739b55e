"""What a certificate authority of one's own is, in plain words, for the terminal and the page.

How devices name their settings is general knowledge (memory, 2026): menus move between versions.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with paragraphs; steps are numbered where they are to be done in order."""

    title: str
    text: str  # paragraphs with an empty line between them
    is_steps: bool = False

    @property
    def lines(self) -> tuple[str, ...]:
        """Return the paragraphs, each on one line."""
        return tuple(" ".join(each.split()) for each in self.text.strip().split("\n\n"))


WHAT = Part(
    "What it is",
    """
Over plain http anybody on the farm's network can read along and change what is sent. Over https
they cannot, and a tablet keeps pages: it can open Today, Scan, the Bench and the lots you opened
while the network is away, and pinset can stand on its home screen.

A browser believes https only from a certificate that somebody it trusts has signed. Nobody in the
world signs one for a computer on your own network, so pinset makes a signer of your own: the
farm's certificate authority. It signs one certificate, for the farm's computer. Each device that
shall trust it has to install the authority once.
""",
)
MEANS = Part(
    "What installing it means",
    """
Who holds the key of an installed authority can pose to that device as the sites it may certify.
pinset limits it in the certificate itself to the farm's host name and to addresses of private
networks, and to proving a server. Not every system minds such limits on an authority that was
installed by hand: guard the key as if it had none.

The key lies in the farm's folder, in https/authority-key.pem, readable by its owner alone. No
backup and no export of pinset holds it; a copy of the whole folder does. You can move it to a
stick in a drawer: it is needed once a year, to renew (--key FILE).

Install it on the farm's own tablets and phones. Nobody has to take it on a private phone; such a
phone gets a warning from its browser at every visit and keeps no pages.

Before you install it, compare the fingerprint your device shows with the one that the farm's
computer prints. If they differ, somebody put their own in between: do not install it.
""",
)
COMMAND = "pinset certificate make --name farm.lan --address 192.168.1.10"
MENUS = "Menus as commonly named in 2026, from memory; they differ between makers and versions."
DEVICES = (
    Part(
        "Android",
        """
Open the farm's certificate page and download the authority.

Settings, Security, Encryption and credentials, Install a certificate, CA certificate. Read the
warning; it is the one above. Choose the downloaded file.

The device needs a screen lock. It may say from then on that the network can be watched: that is
this authority.

Chrome takes it at once; Firefox only after it is told to use certificates of the device.
""",
        is_steps=True,
    ),
    Part(
        "iPhone and iPad",
        """
Open the farm's certificate page in Safari and download the authority; allow the profile.

Settings, General, VPN and Device Management: open the profile and install it.

Settings, General, About, Certificate Trust Settings: switch it on. Without this step it is not
believed.
""",
        is_steps=True,
    ),
    Part(
        "Windows",
        """
Download the authority and open the file: Install Certificate.

Choose Current User, then Place all certificates in the following store: Trusted Root
Certification Authorities.

Firefox: Settings, Privacy and Security, View Certificates, Authorities, Import.
""",
        is_steps=True,
    ),
    Part(
        "macOS",
        """
Download the authority and open it with Keychain Access, into the login keychain.

Open it there, Trust, When using this certificate: Always Trust.
""",
        is_steps=True,
    ),
    Part(
        "Linux",
        """
For the system: copy it to /usr/local/share/ca-certificates/pinset.crt and run
update-ca-certificates as root (Debian and Ubuntu).

Chromium and Firefox keep their own list: in their settings, Certificates, Authorities, Import;
tick only to trust it for websites.
""",
        is_steps=True,
    ),
)
RENEW = Part(
    "Renewing",
    """
The server's certificate lasts 397 days, as browsers want it. Today tells the owner 30 days before
it ends, and so do pinset check and pinset certificate.

pinset certificate renew makes the next one, pinset serve --https does it by itself when it starts
within those 30 days and the authority's key is in the folder. Devices notice nothing.

The authority lasts ten years. Another host name needs another authority: pinset certificate make
--anew, and every device installs that one.
""",
)
BACK = Part(
    "Taking it back",
    """
pinset certificate remove deletes keys and certificates here. Then take the authority off every
device, where it was installed: Android, User credentials; iPhone and iPad, the profile; Windows,
certmgr.msc; macOS, Keychain Access; Linux and Firefox, the same list.

If the key may have been copied, a device is safe only when the authority is off it. There is no
way to call it back from afar.
""",
)
