"""Parses Telegram's updates into our own values.

Any input gives a value: an unusable one says why.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from doorround.channels.messenger.updates import (
    ButtonPress,
    MembershipChanged,
    Message,
    Moved,
    RemoteFile,
    Unusable,
    Update,
    Writer,
)
from doorround.domain.address import Address

CHANNEL = "telegram"
_WHOLE = 2**63 - 1


def chat_name(number: int) -> str:
    """Our name of a chat."""
    return str(Address(CHANNEL, str(number)))


def chat_number(chat: str) -> int:
    """Telegram's number of a chat."""
    return int(Address.read(chat).id)


def update_id(raw: Any) -> int | None:
    """The id of an update; None if it has none that could be stored or acknowledged."""
    number = raw.get("update_id") if isinstance(raw, dict) else None
    return number if type(number) is int and 0 <= number <= _WHOLE else None


def read_update(raw: Any) -> Update:
    """Parse an update. Never raises."""
    try:
        update = _Update.model_validate(raw)
    except (ValidationError, RecursionError) as error:
        return Unusable(_why(error), _chat_of(raw))
    if update.callback_query is not None:
        return _tapped(update.callback_query)
    if update.my_chat_member is not None:
        member = update.my_chat_member
        return MembershipChanged(
            chat_name(member.chat.id), member.new_chat_member.status not in ("kicked", "left")
        )
    message = update.message or update.edited_message
    if message is None:
        return Unusable("a kind of update that is not used")
    return _written(message, edited=update.message is None)


def _written(message: _Message, edited: bool) -> Update:
    chat = chat_name(message.chat.id)
    if message.migrate_to_chat_id is not None:
        # only groups migrate; anything else would give one person's chat to another
        if message.chat.id >= 0 or message.migrate_to_chat_id >= 0:
            return Unusable("a move that is not of a group", chat)
        return Moved(chat, chat_name(message.migrate_to_chat_id))
    if message.author is None or message.author.is_bot:
        return Unusable("a message that no person wrote", chat)
    sound = _sound(message)
    photo = _photo(message)
    return Message(
        _writer(message.chat, message.author),
        str(message.message_id),
        datetime.fromtimestamp(message.edit_date or message.date, UTC),
        message.text if message.text is not None else message.caption,
        RemoteFile(sound.file_id, sound.file_size) if sound else None,
        str(message.reply_to_message.message_id) if message.reply_to_message else None,
        edited,
        RemoteFile(photo.file_id, photo.file_size) if photo else None,
        message.media_group_id,
        message.document is not None and not (sound or photo),
        message.forward_origin is not None or message.forward_date is not None,
        _own_words(message),
    )


def _own_words(message: _Message) -> bool:
    """Whether the person forwarding a message also wrote it. Unknown if they hide their account."""
    origin = message.forward_origin if isinstance(message.forward_origin, dict) else {}
    sender = origin.get("sender_user") if origin.get("type") == "user" else message.forward_from
    user = sender.get("id") if isinstance(sender, dict) else None
    return message.author is not None and type(user) is int and user == message.author.id


def _sound(message: _Message) -> _File | None:
    """The audio, including when sent as a file."""
    file = message.document
    as_file = file if file and not message.animation and file.is_a("audio", "video") else None
    return message.voice or message.video_note or message.audio or message.video or as_file


def _photo(message: _Message) -> _File | None:
    """The largest size of the picture, including when sent as a file."""
    if message.photo:
        return max(message.photo, key=lambda size: size.width * size.height)
    return message.document if message.document and message.document.is_a("image") else None


def _tapped(query: _Query) -> Update:
    if query.message is None or query.data is None:
        return Unusable("a tap on no message of ours")
    writer = _writer(query.message.chat, query.author)
    return ButtonPress(writer, query.id, query.data, str(query.message.message_id))


def _writer(chat: _Chat, author: _User) -> Writer:
    name = " ".join(filter(None, (author.first_name, author.last_name)))
    private = chat.type == "private" and chat.id == author.id
    return Writer(chat_name(chat.id), str(author.id), name, private, author.language_code)


def _why(error: ValidationError | RecursionError) -> str:
    if isinstance(error, RecursionError):
        return "malformed: nested too deeply"
    first = error.errors(include_input=False, include_url=False)[0]
    return f"malformed: {'.'.join(map(str, first['loc'])) or 'the whole'}: {first['msg']}"[:200]


def _chat_of(raw: Any) -> str:
    """The chat of an otherwise malformed update."""
    for kind in ("message", "edited_message"):
        inner = raw.get(kind) if isinstance(raw, dict) else None
        chat = inner.get("chat") if isinstance(inner, dict) else None
        number = chat.get("id") if isinstance(chat, dict) else None
        if type(number) is int and abs(number) <= _WHOLE:
            return chat_name(number)
    return ""


def _clean(text: Any) -> Any:
    """Lone surrogates, which JSON can carry but no database can store, become question marks."""
    return text.encode("utf-8", "replace").decode("utf-8") if isinstance(text, str) else text


Whole = Annotated[int, Field(strict=True, ge=-_WHOLE, le=_WHOLE)]
Moment = Annotated[int, Field(strict=True, ge=0, le=32_503_680_000)]
Text = Annotated[str, BeforeValidator(_clean)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True, populate_by_name=True)


class _User(_Part):
    id: Whole
    is_bot: bool = False
    first_name: Text = ""
    last_name: Text | None = None
    language_code: Text | None = None


class _Chat(_Part):
    id: Whole
    type: Text


class _File(_Part):
    file_id: Annotated[Text, Field(min_length=1, max_length=512)]
    file_size: Annotated[int, Field(strict=True, ge=0)] | None = None


class _Size(_File):
    width: Annotated[int, Field(strict=True, ge=0)] = 0
    height: Annotated[int, Field(strict=True, ge=0)] = 0


class _Document(_File):
    mime_type: Text = ""

    def is_a(self, *kinds: str) -> bool:
        return self.mime_type.partition("/")[0].lower() in kinds


class _Answered(_Part):
    message_id: Whole


class _Message(_Part):
    message_id: Whole
    date: Moment
    chat: _Chat
    author: Annotated[_User | None, Field(alias="from")] = None
    edit_date: Moment | None = None
    text: Text | None = None
    caption: Text | None = None
    voice: _File | None = None
    video_note: _File | None = None
    audio: _File | None = None
    video: _File | None = None
    photo: Annotated[list[_Size], Field(max_length=50)] = Field(default_factory=list)
    document: _Document | None = None
    animation: _File | None = None
    media_group_id: Annotated[Text, Field(max_length=200)] | None = None
    reply_to_message: _Answered | None = None
    # any of these means that it was forwarded; their content only says who wrote it
    forward_origin: Any = None
    forward_date: Any = None
    forward_from: Any = None
    migrate_to_chat_id: Whole | None = None


class _Under(_Part):
    message_id: Whole
    chat: _Chat


class _Query(_Part):
    id: Annotated[Text, Field(min_length=1, max_length=64)]
    author: Annotated[_User, Field(alias="from")]
    message: _Under | None = None
    data: Annotated[Text, Field(max_length=64)] | None = None


class _Status(_Part):
    status: Text


class _Member(_Part):
    chat: _Chat
    new_chat_member: _Status


class _Update(_Part):
    message: _Message | None = None
    edited_message: _Message | None = None
    callback_query: _Query | None = None
    my_chat_member: _Member | None = None
