"""PDF of a printed page where WeasyPrint is installed."""

NO_PDF = ("PDF files are made where WeasyPrint is installed (the `pdf` extra); without it open a page in the browser "
          "and "
          "print it, A4 or Letter.")


def page_pdf(page):
    """A page as PDF.

    Parameters
    ----------
    page : str
        Self-contained HTML [-].

    Returns
    -------
    bytes or None
        The file; None where WeasyPrint or the libraries it needs are not installed [-].

    Notes
    -----
    Nothing is fetched: a page that asks for another address would get nothing.

    Examples
    --------
    >>> page_pdf("<p>x</p>") is None or page_pdf("<p>x</p>")[:4] == b"%PDF"
    True
    """
    try:
        import weasyprint
    except (ImportError, OSError):
        return None
    return weasyprint.HTML(string=page, url_fetcher=_nothing).write_pdf()


def _nothing(url, *args, **kwargs):
    raise ValueError(f"a printed page must not fetch {url}")
