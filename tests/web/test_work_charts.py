"""The charts of "Work it out"."""

from starlette.testclient import TestClient


def test_work_it_out_draws(client: TestClient) -> None:
    page = client.get(
        "/work-it-out/oil-temperature-window",
        params={"speed": "2950", "bore": "45", "outside_diameter": "100", "grade": "68"},
    ).text
    drawn = page.split('class="plot"')[1].split("</svg>")[0]
    assert "too cold" in drawn
    assert "style=" not in drawn


def test_no_chart_where_the_inputs_have_no_answer(client: TestClient) -> None:
    answer = client.get("/work-it-out/oil-temperature-window", params={"speed": "0"})
    assert answer.status_code == 422
    assert 'class="plot"' not in answer.text
