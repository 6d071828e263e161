"""Proxies: what stands between this computer and a server, as its settings say."""

from urllib.parse import urlsplit
from urllib.request import getproxies, proxy_bypass


def proxy_of(address: str) -> str:
    """Return the proxy for an address, empty where it is asked directly.

    From HTTPS_PROXY, HTTP_PROXY and NO_PROXY, or the settings of the system.
    """
    url = urlsplit(address)
    if proxy_bypass(url.hostname or ""):
        return ""
    proxy = getproxies().get(url.scheme, "")
    return proxy if "://" in proxy or not proxy else f"http://{proxy}"
