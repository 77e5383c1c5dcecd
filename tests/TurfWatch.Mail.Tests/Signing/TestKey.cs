using System.Security.Cryptography;
using MimeKit;
using MimeKit.Cryptography;
using Org.BouncyCastle.Crypto;
using TurfWatch.Mail.Signing;

namespace TurfWatch.Mail.Tests.Signing;

/// <summary>A key for signing, its record, and MimeKit's verifier as the judge.</summary>
internal static class TestKey
{
    public static DkimOptions Options { get; } =
        new()
        {
            Domain = "watch.example.org",
            Selector = "lawn2026",
            PrivateKeyFile = Write(RSA.Create(2048).ExportPkcs8PrivateKeyPem()),
        };

    public static string Write(string pem)
    {
        var file = Path.Combine(Directory.CreateTempSubdirectory("dkim-").FullName, "dkim.pem");
        File.WriteAllText(file, pem);
        return file;
    }

    /// <summary>Whether the signature in the message is good, as MimeKit 4.18 finds with the published record.</summary>
    public static bool Verifies(byte[] message)
    {
        using var stream = new MemoryStream(message, writable: false);
        using var mime = MimeMessage.Load(stream);
        var signature = mime.Headers[mime.Headers.IndexOf(HeaderId.DkimSignature)];
        return new DkimVerifier(new Published()).Verify(mime, signature);
    }

    private sealed class Published : DkimPublicKeyLocatorBase
    {
        private readonly string _record = DkimKey.Load(Options.PrivateKeyFile).RecordValue;

        public override AsymmetricKeyParameter LocatePublicKey(
            string methods,
            string domain,
            string selector,
            CancellationToken cancellationToken = default
        ) =>
            $"{selector}._domainkey.{domain}" == DkimKey.RecordName(Options)
                ? GetPublicKey(_record)
                : throw new InvalidOperationException($"no record for {selector} at {domain}");

        public override Task<AsymmetricKeyParameter> LocatePublicKeyAsync(
            string methods,
            string domain,
            string selector,
            CancellationToken cancellationToken = default
        ) => Task.FromResult(LocatePublicKey(methods, domain, selector, cancellationToken));
    }
}
