"""Everything that the live page and its server say to each other.

HTTP routes; all but the first load need the cookie that the first load sets, else 403:

| Route | Does |
|---|---|
| GET /?token=TOKEN | sets the cookie and leads to / |
| GET / | the page |
| GET /page/NAME | its scripts and styles |
| GET /api/start | `Start` |
| GET /api/chart | the places of all items, of lexicon/chart.toml |
| POST /api/examinations | `NewExamination` to `ExaminationEntry` |
| GET /api/examinations | list of `ExaminationEntry`, newest first |
| GET /api/examinations/ID/sound?from_s=&to_s= | that stretch of the stored sound as WAV, <= 30 s |
| GET /api/examinations/ID/report | the report as a page of its own |
| GET /api/examinations/ID/files/NAME | any of its files: record.json, findings.csv, ... |
| POST /api/uploads?name=FILE&protocol=NAME&side=SIDE | raw body of one file to `Upload` |
| GET /api/uploads | list of `Upload`, newest first |
| DELETE /api/uploads/ID | gives an upload up |
| WebSocket /live | one tab on one examination |

Whatever is refused comes back as `Trouble` with a fitting status. On the WebSocket a binary frame
is sound (`from_page.FRAME_HEADER` and mono 16 kHz samples), text is a model of `from_page` or
`to_page` as JSON, told apart by `type`; the models of HTTP are in `http`.
"""
