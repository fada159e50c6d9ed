from django.apps import AppConfig


class SlowPapersConfig(AppConfig):
    name = "tests.shop.documents.slow_papers"
    label = "slow_papers"

    def ready(self) -> None:
        from shop.documents import kinds
        from tests.shop.documents.slow_papers import held

        kinds.register("held", held.build_held, title="Held slip", subject=held.bench)
