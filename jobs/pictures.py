"""Photos of jobs: cleaned and put into the store; one that cannot be kept is told beside its field."""

from django.core.files.uploadedfile import UploadedFile

from jobs.bad_input import BadInput
from shop import pictures
from shop.pictures import PictureError, StoredPicture


def store_picture(upload: "UploadedFile[bytes]") -> StoredPicture:
    """Clean an uploaded photo and put it into the store. The same photo gives the same file.

    Raises:
        BadInput: it is too large, or no picture that can be read.
    """
    try:
        return pictures.store_picture(upload)
    except PictureError as error:
        raise BadInput({"photo": error.message}) from error
