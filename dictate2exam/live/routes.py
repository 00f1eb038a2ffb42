"""The HTTP routes of the live page; `messages` lists them."""

from pathlib import Path
from typing import Any, cast

from pydantic import BaseModel, ValidationError
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route, WebSocketRoute

from dictate2exam import __version__
from dictate2exam.audio.model import SAMPLE_RATE
from dictate2exam.errors import Dictate2ExamError
from dictate2exam.lexicon.cautions import cautions_for
from dictate2exam.lexicon.chart import chart_plan
from dictate2exam.lexicon.consent import read_consent
from dictate2exam.lexicon.protocols import protocol_names, read_protocol
from dictate2exam.live.clinic import Clinic
from dictate2exam.live.entering import ENTER, enter_routes
from dictate2exam.live.guard import Door, Guard, refusal
from dictate2exam.live.keeping import as_wav
from dictate2exam.live.messages.http import ConsentText, NewExamination, ProtocolEntry, Start
from dictate2exam.live.orders import OrderReader
from dictate2exam.live.socket import socket_of
from dictate2exam.live.uploads import SOUND_BYTES, UPLOAD_TYPES, Uploads
from dictate2exam.units import SIDES, Side

PAGE = Path(__file__).parent / "page"
# What the page is made of; nothing else in its folder is served.
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".woff2": "font/woff2",
}
# What an examination's folder holds for the eye; sound has its own route.
FILES = {
    "record.json": "application/json",
    "findings.csv": "text/csv; charset=utf-8",
    "questions.csv": "text/csv; charset=utf-8",
    "transcript.txt": "text/plain; charset=utf-8",
    "localisation.json": "application/json",
    "report.html": "text/html; charset=utf-8",
    "report.pdf": "application/pdf",
}
# The report has its styles in itself, and no script.
REPORT_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'self'; sandbox allow-same-origin allow-modals"
)
LONGEST_CUT_S = 30.0
BODY_BYTES = 10_000  # of what is not an upload


def make_app(clinic: Clinic, door: Door) -> Starlette:
    """The whole application behind its guard."""
    uploads = Uploads(clinic)
    answers = Answers(clinic, uploads)
    application = Starlette(
        routes=[
            Route("/", answers.page),
            Route("/page/{name}", answers.page),
            Route("/api/start", answers.start),
            Route("/api/chart", answers.chart),
            Route("/api/examinations", answers.list, methods=["GET"]),
            Route("/api/examinations", answers.begin, methods=["POST"]),
            Route("/api/examinations/{exam}/sound", answers.sound),
            Route("/api/examinations/{exam}/report", answers.report),
            Route("/api/examinations/{exam}/files/{name}", answers.file),
            Route("/api/uploads", answers.uploads, methods=["GET"]),
            Route("/api/uploads", answers.upload, methods=["POST"]),
            Route("/api/uploads/{upload}", answers.give_up, methods=["DELETE"]),
            WebSocketRoute("/live", socket_of(clinic)),
            *enter_routes(door),
        ],
        middleware=[
            Middleware(cast(Any, Guard), door=door, open_paths=(ENTER,) if door.passphrase else ())
        ],
        exception_handlers={
            Dictate2ExamError: _refused,
            404: lambda request, error: refusal(404, "There is nothing here."),
            405: lambda request, error: refusal(405, "That is not how this is asked for."),
            500: lambda request, error: refusal(500, "Something failed in the server."),
        },
    )
    application.state.close = uploads.close
    return application


class Answers:
    """One method a route."""

    def __init__(self, clinic: Clinic, uploads: Uploads) -> None:
        self._clinic, self._uploads = clinic, uploads

    async def page(self, request: Request) -> Response:
        """A file of the page."""
        name = request.path_params.get("name", "index.html")
        path = PAGE / name
        if path.suffix not in TYPES or path.parent != PAGE or not path.is_file():
            return refusal(404, "There is no such file of the page.")
        return FileResponse(path, media_type=TYPES[path.suffix])

    async def start(self, request: Request) -> Response:
        """What the page needs once."""
        clinic, folder = self._clinic, self._clinic.lexicon.folder
        protocols = [read_protocol(folder, name) for name in protocol_names(folder)]
        consent = read_consent(folder, clinic.folder)
        return _json(
            Start(
                version=__version__,
                protocols=tuple(ProtocolEntry(name=p.name, label=p.label) for p in protocols),
                protocol=clinic.settings.protocol,
                examiner=clinic.settings.examiner,
                required={
                    p.name: tuple(r.item for r in p.requirements if r.required) for p in protocols
                },
                orders=OrderReader(clinic.lexicon).listed,
                consent=ConsentText(**consent.model_dump()),
                cautions=cautions_for(folder, set()),
                upload_types=UPLOAD_TYPES,
                upload_bytes=SOUND_BYTES,
            )
        )

    async def chart(self, request: Request) -> Response:
        """Where each item stands on the page."""
        return _json(chart_plan(self._clinic.lexicon))

    async def list(self, request: Request) -> Response:
        """Every examination of the folder."""
        return _json_list(self._clinic.listed())

    async def begin(self, request: Request) -> Response:
        """Begins an examination."""
        body = bytearray()
        async for block in request.stream():
            body += block
            if len(body) > BODY_BYTES:
                return refusal(413, "That is more than a beginning needs.")
        try:
            wanted = NewExamination.model_validate_json(bytes(body) or b"{}")
        except ValidationError:
            return refusal(400, "Give protocol, side and examiner, and nothing else.")
        return _json(self._clinic.entry(self._clinic.begin(wanted)))

    async def sound(self, request: Request) -> Response:
        """A stretch of the stored sound."""
        exam = self._clinic.open(request.path_params["exam"])
        try:
            start = max(0.0, float(request.query_params["from_s"]))
            end = min(float(request.query_params["to_s"]), start + LONGEST_CUT_S)
            first, last = round(start * SAMPLE_RATE), round(end * SAMPLE_RATE)
        except (KeyError, ValueError, OverflowError):
            return refusal(400, "Give from_s and to_s in seconds.")
        pcm = exam.pcm(first, last)
        if not pcm:
            return refusal(404, "No sound is stored there.")
        return Response(as_wav(pcm), media_type="audio/wav")

    async def report(self, request: Request) -> Response:
        """The report as a page of its own."""
        return self._file(request.path_params["exam"], "report.html")

    async def file(self, request: Request) -> Response:
        """A file of an examination."""
        return self._file(request.path_params["exam"], request.path_params["name"])

    async def uploads(self, request: Request) -> Response:
        """How far the uploads are."""
        return _json_list(self._uploads.listed())

    async def upload(self, request: Request) -> Response:
        """Takes one file."""
        query = request.query_params
        side: Side = next((side for side in SIDES if side == query.get("side")), "none")
        protocol = query.get("protocol", "")
        if protocol:
            read_protocol(self._clinic.lexicon.folder, protocol)
        wanted = NewExamination(protocol=protocol, side=side)
        return _json(await self._uploads.take(query.get("name", ""), wanted, request.stream()))

    async def give_up(self, request: Request) -> Response:
        """Gives an upload up."""
        return _json(self._uploads.give_up(request.path_params["upload"]))

    def _file(self, exam: str, name: str) -> Response:
        path = self._clinic.open(exam).folder / name
        if name not in FILES or not path.is_file():
            return refusal(404, "There is no such file yet.")
        headers = {}
        if name == "report.html":
            headers = {"content-security-policy": REPORT_POLICY, "x-frame-options": "SAMEORIGIN"}
        return FileResponse(path, media_type=FILES[name], headers=headers)


def _refused(request: Request, error: Exception) -> Response:
    return refusal(400, str(error))


def _json(model: BaseModel) -> Response:
    return JSONResponse(model.model_dump(mode="json"))


def _json_list(models: "list[Any]") -> Response:
    return JSONResponse([model.model_dump(mode="json") for model in models])
