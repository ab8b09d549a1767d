"""Every page and list of a job: what the command line and the notebook write."""

import re
from dataclasses import dataclass

from lamcalc.errors import InputError
from lamcalc.sentences import joined, told, told_problem
from lamcalc.shop import job as jobs
from lamcalc.shop.answer import comparison_page, comparison_rows, safe_csv
from lamcalc.shop.floor_entry import floor_doubts
from lamcalc.shop.handover import handover_page
from lamcalc.shop.job_transom import transom_comparison
from lamcalc.shop.lists_csv import buying_rows, cutting_rows
from lamcalc.shop.page_pdf import page_pdf
from lamcalc.shop.part_entry import entry_doubts
from lamcalc.shop.sheet import part_sheet
from lamcalc.shop.sheet_checks import remarks
from lamcalc.shop.sheet_words import Words, money
from lamcalc.shop.stray_names import unknown_names
from lamcalc.shop.takeoff import take_off
from lamcalc.shop.whole_job import WholeJob, part_work

_TOLD_AS_PROBLEMS = ("No margins", "No quality page")
PAPER = {"metric": "A4", "us": "letter"}


@dataclass(frozen=True)
class JobPages:
    """Pages and lists of a job, ready to be written.

    Parameters
    ----------
    texts : dict of str to str
        File name and its text, HTML and CSV [-].
    problems : tuple of str
        What could not be made, in sentences [-].
    comparison : TransomComparison or None
        None where the job has no transom to compare [-].
    whole : WholeJob or None
        Everything computed; None where nothing is chosen [-].
    system : {"metric", "us"}
        Units of the pages [-].
    property_model : str
        Where ply stiffness of the comparison comes from [-].
    today : date, optional
        Today's date, for the date of the prices and the day on the cans; that of the computer if not given [-].

    Examples
    --------
    >>> JobPages({}, (), None, None, "metric").texts
    {}
    """

    texts: dict
    problems: tuple
    comparison: object
    whole: object
    system: str
    property_model: str = "micromechanics"
    today: object = None

    def pdfs(self):
        """The pages as PDF where WeasyPrint is installed.

        Returns
        -------
        dict of str to bytes
            File name and content; empty without WeasyPrint [-].
        """
        out = {}
        for name, text in self.texts.items():
            if name.endswith(".html"):
                sized = re.sub(r"@page \{ ", f"@page {{ size: {PAPER[self.system]}; ", text, count=1)
                found = page_pdf(sized)
                if found is None:
                    return {}
                out[name.removesuffix(".html") + ".pdf"] = found
        return out

    def summary(self):
        """What is built, part by part, and what is bought, in short lines.

        Returns
        -------
        list of str
            Lines for the screen; empty where nothing was computed [-].
        """
        if self.whole is None:
            return []
        words, found = Words(self.system), self.whole.take_off
        lines = [] if self.property_model == "micromechanics" else [
            f"Ply stiffness from {self.property_model.replace('_', ' ')} is in the comparison alone; the lines below, sheets and "
            "handover page use micromechanics"]
        for work in self.whole.parts:
            least = work.least
            margin = (f"smallest margin {least.reserve_factor:.2f}, {told(least.name, self.system)}: {least.verdict}" if least
                      else "no margin computed")
            unmet = "".join(f"; rule NOT MET: {check.requirement.name}" for check in work.failed[1])
            unmet += f"; NOT CHECKED: {', '.join(work.unchecked)}" if work.unchecked else ""
            lines.append(f"{work.title}: {work.take_off.schedule}, {words.one(work.take_off.mass_kg, 'mass')}; "
                         f"{margin}{unmet}")
        told_of = {work.name for work in self.whole.parts}
        asked = [line for work in self.whole.parts for line in work.doubts]
        asked += [line for name in self.whole.job.parts if name not in told_of for line in entry_doubts(self.whole.job, name)]
        asked += floor_doubts(self.whole.job, self.today)
        lines += [f"CHECK THE ENTRY: {told(line, self.system).rstrip('.')}." for line in dict.fromkeys(asked)]
        lines += [f"The comparison speaks AGAINST the build chosen for {work.title}: {_told(work.against, self.system)}."
                  for work in self.whole.parts if work.against]
        lines += [f"{stop['word'].upper()}, order of laying of {work.title}: {stop['wrong']} {stop['do']}"
                  for work in self.whole.parts for stop in remarks(work.review, self.system)[0]]
        lost = [work.title for work in self.whole.parts if any(work.failed)]
        if lost:
            lines.append(f"SETTLE FIRST, a check does not hold: {'; '.join(lost)}. Their sheets say which.")
        open_ = [work.title for work in self.whole.parts if work.unchecked]
        if open_:
            lines.append(f"SETTLE FIRST, something is not checked: {'; '.join(open_)}. Their sheets say what.")
        rejected = [f"{work.title}, {', '.join(check.name for check in work.quality.report.checks if check.verdict == 'reject')}"
                    for work in self.whole.parts if work.quality is not None and work.quality.report.worst == "reject"]
        if rejected:
            lines.append(f"SETTLE FIRST, the readings after the work reject it: {'; '.join(rejected)}. Their sheets say why.")
        blind = [work.title for work in self.whole.parts if not work.margins]
        if blind:
            lines.append(f"SETTLE FIRST, nobody knows whether it holds: {'; '.join(blind)}. No margin could be computed.")
        lines += [f"NOT COMPUTED for {work.title}: {told(line, self.system)}" for work in self.whole.parts for line in work.problems
                  if not any(known.endswith(told(line, self.system).partition(": ")[2]) for known in self.problems)]
        lines += [f"CHECK THE ENTRY: {line}." for line in unknown_names(self.whole.job, found)]
        absent = _absent(self.whole.job, found)
        lines.append(f"Buying list{' WITHOUT ' + ', '.join(absent) if absent else ''}: {money(found.buying_cost, found.currency)}, prices of {found.price_date}"
                     + (f"; without a price: {told(joined(', ', found.unpriced), self.system)}" if found.unpriced else ""))
        return lines


def job_pages(job, *, system=None, property_model="micromechanics", today=None):
    """Comparison, a sheet a part, the handover page, buying and cutting lists.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Units of the pages; the job's if not given [-].
    property_model : str
        Where ply stiffness of the comparison comes from [-].
    today : date, optional
        Today's date, for the date of the prices and the day on the cans; that of the computer if not given [-].

    Returns
    -------
    JobPages
        Texts by file name; a part that cannot be computed is named in a sentence and the others are made [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> pages = job_pages(load_demo())
    >>> [name for name in pages.texts if name.startswith("sheet")]
    ['sheet_transom.html', 'sheet_stringers.html', 'sheet_bottom.html', 'sheet_sole.html']
    """
    system = system or job.units
    texts, problems = {}, []
    comparison = _comparison(job, system, property_model, texts, problems)
    works = []
    for name, entry in job.parts.items():
        if entry.chosen is None:
            problems.append(f"No sheet for {name}: no schedule is chosen; set `chosen` in [parts.{name}] of the job "
                            f"file.")
            continue
        try:
            work = part_work(job, name, comparison=comparison)
            texts[f"sheet_{jobs.safe_file_name(name)}.html"] = part_sheet(job, work, system=system, today=today)
        except InputError as error:
            problems.append(f"No sheet for {name}: {told_problem(error, system)}")
        else:
            works.append(work)
            problems += _left_out(work, problems, system)
    whole = _lists(job, works, system, texts, problems, today)
    return JobPages(texts, tuple(problems), comparison, whole, system, property_model, today)


def _absent(job, found):
    """Parts of the job that the take-off lacks: whoever orders must know."""
    return [part.title or name for name, part in job.parts.items() if name not in found.parts]


def _left_out(work, problems, system):
    """Margins or readings that could not be worked out must not pass in silence; a reason told already is not told again."""
    lost = [(words, line.removeprefix(f"{words}: ")) for words in _TOLD_AS_PROBLEMS
            for line in (told(line, system) for line in work.problems) if line.startswith(f"{words}: ")]
    return [f"{words} for {work.title}: {reason}" for words, reason in lost
            if not any(known.endswith(reason) for known in problems)]


def _told(sentences, system):
    return "; ".join(told(one, system) for one in sentences)


def _comparison(job, system, property_model, texts, problems):
    if not any(part.kind == "transom" for part in job.parts.values()):
        return None
    try:
        comparison = transom_comparison(job, property_model=property_model)
        rows = comparison_rows(comparison, system)
        texts["transom_comparison.html"] = comparison_page(job, comparison, system)
    except InputError as error:
        problems.append(f"No comparison of the transom's cores: {told_problem(error, system)}")
        return None
    texts["transom_comparison.csv"] = safe_csv([["figure", *(r.name for r in comparison.results)], *rows])
    for number, result in enumerate(comparison.results):
        frame = result.schedule.table().round(4)
        frame = frame.astype(object).where(frame.notna(), "")  # nothing where nothing is known, not "nan"
        texts[f"schedule_{number}.csv"] = safe_csv([[result.name], list(frame.columns), *frame.itertuples(index=False)])
    return comparison


def _lists(job, works, system, texts, problems, today):
    if not works:
        return None
    try:
        found = take_off(job, parts=[work.name for work in works])
    except InputError as error:
        problems.append(f"No buying and cutting list: {told_problem(error, system)}")
        return None
    whole = WholeJob(job, tuple(works), found)
    texts["buying.csv"], texts["cutting.csv"] = safe_csv(buying_rows(found, _absent(job, found))), safe_csv(cutting_rows(found))
    texts["handover.html"] = handover_page(whole, system=system, problems=tuple(problems), today=today)
    return whole
