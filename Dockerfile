# The programs alone, statically linked: no shell, no package manager, no root.
# docker build -t overhang . ; how to run it: RUNNING.md
ARG BUILDER=golang:1.26-bookworm
FROM ${BUILDER} AS build
WORKDIR /src
COPY . .
ENV CGO_ENABLED=0 GOFLAGS=-buildvcs=false
RUN ["go", "build", "-trimpath", "-ldflags=-s -w", "-tags=timetzdata", "-o=/out/", "./cmd/api", "./cmd/ingest"]

FROM scratch
COPY --from=build /etc/ssl/certs/ca-certificates.crt /etc/ssl/certs/
COPY --from=build /out/ /
USER 65532:65532
EXPOSE 8080
HEALTHCHECK CMD ["/api", "health"]
ENTRYPOINT ["/api"]
CMD ["-listen", "0.0.0.0:8080"]
