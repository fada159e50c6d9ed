"""The service writer's day: a car comes, is walked round, priced, allowed, asked about; a link revoked."""

import re
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.at_desk import choose, invoice_paper, move_out_of_the_bays, open_order
from tests.browser.bay_tablet import BayTablet, a_photo
from tests.browser.cast import LYING, Cast, answered, follow

pytestmark = [pytest.mark.browser, pytest.mark.process]
NEEDS_WORKER = True
KIT = "KIT-210 B – Front clip, coilover, welded cradle"
PHONE = {"width": 390, "height": 844}
CUSTOMER = "Ottoline Marchbank"
COATING = "Cradle powder coated"
CAR = {
    "Name": CUSTOMER,
    "Phone (optional)": "555 0177",
    "Model year": "1967",
    "Make and model": "Corvane Bowline",
    "VIN or serial": "CB67-40117",
    "Plate (optional)": "DEMO 717",
    "Odometer (optional)": "61 240 mi",
}


def test_the_service_writer_s_day(cast: Cast) -> None:
    page = cast.desk("quill")
    number = a_car_is_booked_in(cast, page)
    found_as_one_types(page, number)
    walked_round(page, number)
    estimated(page, number)
    phone = a_link_for_the_phone(cast, page, number)
    allowed_by_phone(phone)
    found_on_the_way(cast, page, number)
    asked_and_refused(page, phone, number)
    asked_though_signed_out(cast, page)
    allowed_by_a_typed_name(page, number)
    where_is_my_car(page, number)
    cost_against_estimate(page, number)
    invoiced_on_paper(page, number)
    revoked(page, phone, number)
    assert "whole" in cast.site.manage("verify_record")


def a_car_is_booked_in(cast: Cast, page: Page) -> int:
    """What is missing is told beside its field, with all that was typed kept."""
    open_order(cast.desk("tally"), "K-0050", KIT)
    move_out_of_the_bays(cast.desk("keel"), 1004)
    page.goto("/jobs/")
    page.get_by_role("link", name="Open a job").first.click()
    for label, text in CAR.items():
        page.get_by_label(label, exact=True).fill(text)
    expect(page.locator("#serial-check")).to_contain_text("a maker's own serial")
    choose(page, "Procedure", "FC-210 B")
    choose(page, "Kit order", "K-0050")
    choose(page, "Bay (optional)", "4 Level pad")
    page.get_by_label("Model year").fill("'67")
    page.get_by_role("button", name="Open the job").click()
    expect(page.get_by_label("Name", exact=True)).to_have_value(CUSTOMER)
    expect(page.locator(".field-error").first).to_be_visible()
    page.get_by_label("Model year").fill("1967")
    page.get_by_role("button", name="Open the job").click()
    expect(page.locator("#messages")).to_contain_text("is open")
    return int(page.url.rstrip("/").rsplit("/", 1)[1])


def found_as_one_types(page: Page, number: int) -> None:
    """By the keyboard alone, and by whatever the customer can say of the car."""
    for words in ("marchbank", "demo 717", "cb67-40117", str(number), "k-0050", "555 0177"):
        page.goto("/jobs/")
        page.keyboard.press("/")
        page.keyboard.type(words)
        expect(page.locator("#jobs tbody tr")).to_have_count(1)
        expect(answer(page)).to_contain_text(f"1967 Corvane Bowline · {CUSTOMER}")


def answer(page: Page) -> Locator:
    return page.get_by_role("region", name="Where is it?")


def walked_round(page: Page, number: int) -> None:
    """Touched, told what it is, with a photo; beside it what was read, and what cannot have been read."""
    page.set_viewport_size(LYING)
    page.goto(f"/jobs/{number}/")
    follow(page, page.get_by_role("link", name="Walk round the car"))
    form = page.locator("#put-mark")
    page.get_by_label("Left in the car").fill("a blanket")
    touch(page, "left", 0.31, 0.6)
    expect(form.locator(".touched")).to_contain_text("C3 is touched")
    form.get_by_label("What it is").select_option(label="dent")
    form.get_by_label("Note").fill("lower edge of the door")
    form.get_by_label("Photo").set_input_files(a_photo())
    assert answered(page, form.get_by_role("button", name="Put the mark")).status == 204
    marks = page.locator("#marks")
    expect(marks).to_contain_text("Dent, left side C3: lower edge of the door")
    photo = marks.locator("img")
    assert photo.evaluate("image => image.decode().then(() => image.naturalWidth)") > 0
    expect(page.locator('svg[data-view="left"] .car-mark')).to_have_count(1)
    expect(page.get_by_label("Left in the car")).to_have_value("a blanket")
    report = page.locator("#condition-report")
    report.get_by_label("Ride height, left front").fill("26 1/4")
    report.get_by_label("Ride height, right front").fill("a hand")
    press = report.get_by_role("button", name="Record what was read")
    assert answered(page, press).status == 422
    expect(report.locator(".field-error").first).to_be_visible()
    report.get_by_label("Ride height, right front").fill("26 1/8 in")
    assert answered(page, press).status == 204
    expect(report.locator(".facts")).to_contain_text("666.8 mm")
    expect(page.locator("#condition-summary")).to_contain_text("2 ride heights")


def touch(page: Page, view: str, x: float, y: float) -> None:
    drawing = page.locator(f'svg[data-view="{view}"]')
    box = drawing.bounding_box() or {}
    drawing.click(position={"x": box["width"] * x, "y": box["height"] * y})


def estimated(page: Page, number: int) -> None:
    """Labour by operation and the kit stand there already; what nobody has priced is not offered."""
    page.goto(f"/jobs/{number}/money/")
    page.get_by_role("link", name="Write the estimate").click()
    expect(page.locator("#lines tbody .stamp").first).to_have_text("I10")
    new = page.locator("#lines tbody tr").filter(has=page.locator('input[aria-label$=": what"][value=""]'))
    row = new.last
    row.locator("select").select_option(label="sublet work")
    for part, text in (("what", COATING), ("quantity", "1"), ("price, each", "260")):
        row.locator(f'input[aria-label$=": {part}"]').fill(text)
    page.get_by_label("Deposit, percent").fill("a third")
    page.get_by_role("button", name="Save and offer it").click()
    told = page.locator(".error-summary")
    expect(told).to_contain_text("There is no price yet; write one, or leave the line out")
    expect(told.get_by_role("link")).to_have_count(2)  # wire and deposit; the kit's list says its cost
    expect(page.locator(f'#lines input[value="{COATING}"]')).to_have_count(1)
    price(page, "Kit KIT-210 B", "4,180.00")
    price(page, "Wire, gas", "85.50")
    page.get_by_label("Deposit, percent").fill("30")
    page.get_by_role("button", name="Save and offer it").click()
    expect(page.locator("#estimate")).to_contain_text("waits for the customer")
    # 7,125.00 of labour, 4,265.50 that the shop taxes with 8.25 %, 260.00 of work given out.
    expect(page.locator("#estimate tbody tr").first).to_contain_text("12,002.40")


def price(page: Page, what: str, amount: str) -> None:
    row = page.locator("#lines tbody tr").filter(has=page.locator(f'input[value^="{what}"]'))
    row.locator('input[aria-label$=": price, each"]').fill(amount)


def a_link_for_the_phone(cast: Cast, page: Page, number: int) -> Page:
    page.goto(f"/jobs/{number}/link/")
    page.get_by_role("button", name="Make a link").click()
    expect(page.locator("svg.link-code")).to_be_visible()
    phone = cast.browser(size=PHONE)
    phone.goto(page.get_by_role("textbox", name="Address").input_value())
    return phone


def allowed_by_phone(phone: Page) -> None:
    """Work, cautions and price stand there; nothing is sent without a name."""
    main = phone.locator("main")
    for words in ("1967 Corvane Bowline", "cannot be put back as it was", COATING):
        expect(main).to_contain_text(words)
    expect(main).not_to_contain_text(CUSTOMER)
    wide = phone.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert wide == 0
    phone.get_by_label("Yes, do it, and cut the car for it").check()
    phone.get_by_label("Your full name, as your signature").fill(CUSTOMER)
    assert answered(phone, phone.get_by_role("button", name="Send my answer")).status < 400
    expect(main).to_contain_text("Your yes is recorded")


def found_on_the_way(cast: Cast, page: Page, number: int) -> None:
    """Met at the tablet while the car stands in its bay; the desk is told and prices it."""
    bay = BayTablet(cast, cast.tablet(4))
    bay.begin_turn("scribner")
    bay.page.goto(f"/tablet/{number}/I10/extra/")
    bay.page.get_by_text("Stud or bolt broken off").click()
    bay.page.get_by_text("30 min").click()
    bay.page.get_by_label("Photo").set_input_files(a_photo())
    bay.page.get_by_role("button", name="Propose it").click()
    expect(bay.page.locator("#task")).to_contain_text("waits for the desk")
    page.goto(f"/jobs/{number}/money/")
    found = page.locator("#extra-work .problem-open")
    expect(found).to_contain_text("Found at I10, waits to be priced")
    found.get_by_text("Price it and ask the customer").click()
    found.get_by_label("Price, tax included").fill("180.00")
    found.get_by_label("Moves the date by, days").fill("2")
    assert answered(page, found.get_by_role("button", name="Ask the customer")).status == 204
    expect(page.locator("#extra-work")).to_contain_text("waits for the customer")
    expect(page.locator(".sums-strip")).to_contain_text("180.00 waits")


def asked_and_refused(page: Page, phone: Page, number: int) -> None:
    phone.reload()
    main = phone.locator("main")
    expect(main).to_contain_text("Stud or bolt broken off")
    photo = main.locator("img").first
    assert photo.evaluate("image => image.decode().then(() => image.naturalWidth)") > 0
    expect(main).to_contain_text("The date hangs on your answer above.")
    phone.get_by_label("No", exact=True).check()
    phone.get_by_label("Your full name").fill(CUSTOMER)
    answered(phone, phone.get_by_role("button", name="Send my answer"))
    expect(main).to_contain_text("You said no.")
    page.goto(f"/jobs/{number}/money/")
    expect(page.locator("#extra-work")).to_contain_text(re.compile(r"X1\s+no", re.IGNORECASE))


def asked_though_signed_out(cast: Cast, page: Page) -> None:
    """Another thing is asked for, from a page that outlived its sign-in: what was typed is kept and sent."""
    section = page.locator("#extra-work")
    section.get_by_text("Something was found: ask the customer").click()
    section.get_by_label("What was found, and what is to be done").fill("Both front brake hoses are cracked.")
    section.get_by_label("Price, tax included").fill("96.40")
    page.context.clear_cookies(name="sessionid")
    section.get_by_role("button", name="Ask the customer").click()
    main = page.locator("main")
    expect(main).to_contain_text("What you had entered is kept")
    main.get_by_label("Sign-in name").fill("quill")
    main.get_by_label("Password").fill(str(cast.people["quill"]["password"]))
    main.get_by_role("button", name="Sign in").click()
    expect(main).to_contain_text("Both front brake hoses are cracked.")
    page.get_by_role("button", name="Send it now").click()
    expect(page.locator("#extra-work")).to_contain_text("waits for the customer")


def allowed_by_a_typed_name(page: Page, number: int) -> None:
    """The customer stands at the desk and says yes there."""
    waiting = page.locator("#extra-work .problem-open")
    waiting.get_by_text("The customer answered at the desk").click()
    waiting.get_by_label("Yes", exact=True).check()
    waiting.get_by_label("Said by").fill(CUSTOMER)
    waiting.get_by_label("How").select_option(label="typed name at the desk")
    assert answered(page, waiting.get_by_role("button", name="Record the answer")).status == 204
    expect(page.locator("#extra-work .problem-open")).to_have_count(0)
    expect(page.locator("#authority")).to_contain_text("Both front brake hoses are cracked.")
    page.goto(f"/jobs/{number}/")
    expect(page.locator("#authority")).to_contain_text("private link on the customer's phone")
    expect(page.locator("#authority")).to_contain_text("typed name at the desk")


def where_is_my_car(page: Page, number: int) -> None:
    """The telephone rings: one look says place, what it waits for, when; nothing is asked twice."""
    leaving: list[str] = []
    page.goto("/jobs/")
    page.keyboard.press("/")
    page.keyboard.type("marchbank")
    told = answer(page)
    expect(told).to_contain_text("bay 4")
    expect(told.locator("dt").filter(has_text="Waits for").locator("+ dd")).not_to_be_empty()
    expect(told).to_contain_text("Expected ready")
    expect(told).to_contain_text("555 0177")
    expect(page).to_have_url(re.compile(r"q=marchbank"))
    page.on("request", lambda request: leaving.append(request.url))
    told.get_by_role("link", name=re.compile(str(number))).click()
    expect(page).to_have_url(re.compile(rf"/jobs/{number}/$"))
    assert not [url for url in leaving if "q=marchbank" in url]


def cost_against_estimate(page: Page, number: int) -> None:
    page.goto(f"/jobs/{number}/money/")
    section = page.locator("#cost")
    section.locator("summary", has_text="By operation").click()
    expect(section.get_by_role("row").filter(has_text="I10").first).to_be_visible()
    figures = section.get_by_role("row").filter(has_text="Together").locator("td").all_inner_texts()
    assert all(re.fullmatch(r"[\d,]+\.\d\d", figure) for figure in figures), figures


def invoiced_on_paper(page: Page, number: int) -> None:
    """The deposit first, paid; then the closing invoice, which takes it off and is never changed."""
    section = page.locator("#invoices")
    section.get_by_text("Ask for the deposit").click()
    section.get_by_role("button", name="Issue the invoice for the deposit").click()
    expect(page.locator("#invoices table").first).to_contain_text("deposit", ignore_case=True)
    page.get_by_role("link", name="Write the closing invoice").click()
    page.get_by_role("button", name="Issue the invoice").click()
    shown = page.locator("#invoices table").first.locator("tbody th")
    expect(shown).to_have_count(2)
    numbers = shown.all_inner_texts()
    assert int(numbers[1]) == int(numbers[0]) + 1
    text = invoice_paper(page, numbers[1])
    assert numbers[1] in text
    assert CUSTOMER in text
    assert COATING in text
    assert "page 1 of" in text.lower()


def revoked(page: Page, phone: Page, number: int) -> None:
    page.goto(f"/jobs/{number}/link/")
    page.get_by_role("button", name="Revoke").click()
    expect(page.locator("#messages")).to_contain_text("does not work any more")
    gone: Any = phone.reload()
    assert gone.status == 404
    expect(phone.locator("main")).to_contain_text("This link does not work")
