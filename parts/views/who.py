"""Who may look and who may write at the parts counter."""

from shop.models import Role
from shop.permissions import role_required

MAY_WRITE = (Role.PARTS_CLERK, Role.MANAGER)

everyone = role_required(*Role.values)
writers = role_required(*MAY_WRITE)
