"""Who may write at the parts counter; pages offer it to nobody else."""

from shop.actions import roles_of

MAY_WRITE = roles_of("parts:receive")
