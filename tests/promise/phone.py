"""A phone without a socket that goes on with a session it has kept."""

from fastapi import FastAPI

from tests.promise.garage import Session
from tests.web.phone import Phone


def phone_of(app: FastAPI, session: Session) -> Phone:
    phone = Phone(app)
    for name, token in session.cookies.items():
        phone.cookies.set(name, token, domain="localhost.local", path="/")
    phone.form_key = session.form_key
    return phone
